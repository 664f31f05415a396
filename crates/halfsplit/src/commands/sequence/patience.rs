//! How long a plan is looked for, and what is shown meanwhile.

use crate::commands::sequence::text::{amount, gap};
use plan::Progress;
use std::io::{IsTerminal, Write};
use std::time::{Duration, Instant};

/// Whoever waits longer than this wants to see that something happens. Common practice, no source.
const SILENT: Duration = Duration::from_secs(1);
/// Between two lines of progress: often enough to be alive, seldom enough to be read.
const BETWEEN: Duration = Duration::from_millis(250);
/// To the start of the line, and everything on it away.
const CLEAR: &str = "\r\u{1b}[K";

/// The clock of one search.
#[derive(Debug)]
pub(super) struct Patience {
    start: Instant,
    time: Duration,
    /// When progress is shown next; `None` where nobody would see it.
    next: Option<Duration>,
    shown: bool,
}

impl Patience {
    pub(super) fn new(time: Duration) -> Self {
        Self {
            start: Instant::now(),
            time,
            next: std::io::stderr().is_terminal().then_some(SILENT),
            shown: false,
        }
    }

    /// `true` while there is time; shows progress now and then.
    pub(super) fn goes_on(&mut self, progress: &Progress) -> bool {
        let passed = self.start.elapsed();
        if self.next.is_some_and(|next| passed >= next) {
            self.next = Some(passed + BETWEEN);
            self.shown = true;
            say(&format!("{CLEAR}{}", line(passed, self.time, progress)));
        }
        passed < self.time
    }

    /// Takes the progress away again.
    pub(super) fn end(&self) {
        if self.shown {
            say(CLEAR);
        }
    }
}

/// Shows something at once. A terminal that is gone cannot be told so.
fn say(text: &str) {
    let mut terminal = std::io::stderr();
    let _ = terminal
        .write_all(text.as_bytes())
        .and_then(|()| terminal.flush());
}

fn line(passed: Duration, time: Duration, progress: &Progress) -> String {
    format!(
        "planning, {:.0} of {:.0} s: expected cost {}, {}",
        passed.as_secs_f64(),
        time.as_secs_f64(),
        amount(progress.expected_cost),
        gap(progress.expected_cost, progress.lower_bound),
    )
}
