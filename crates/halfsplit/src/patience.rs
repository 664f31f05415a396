//! How long a plan is looked for, and what is shown meanwhile.

use plan::Progress;
use std::io::{IsTerminal, Write};
use std::time::{Duration, Instant};

/// Whoever waits longer than this wants to see that something happens. Common practice, no source.
const SILENT: Duration = Duration::from_secs(1);
/// Between two lines of progress: often enough to be alive, seldom enough to be read.
const BETWEEN: Duration = Duration::from_millis(250);
/// To the start of the line, and everything on it away.
const CLEAR: &str = "\r\u{1b}[K";

/// When a search ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Limit {
    /// After this time.
    Time(Duration),
    /// After so many nodes, on every machine the same.
    Nodes(usize),
}

impl Limit {
    /// Nodes if they are given, else the time.
    pub(crate) fn of(time: Duration, nodes: Option<usize>) -> Self {
        nodes.map_or(Self::Time(time), Self::Nodes)
    }
}

/// The clock of one search.
#[derive(Debug)]
pub(crate) struct Patience {
    start: Instant,
    limit: Limit,
    /// When progress is shown next; `None` where nobody would see it.
    next: Option<Duration>,
    shown: bool,
}

impl Patience {
    pub(crate) fn new(limit: Limit) -> Self {
        Self {
            start: Instant::now(),
            limit,
            next: std::io::stderr().is_terminal().then_some(SILENT),
            shown: false,
        }
    }

    /// `true` while there is time; shows progress now and then.
    pub(crate) fn goes_on(&mut self, progress: &Progress) -> bool {
        let passed = self.start.elapsed();
        if self.next.is_some_and(|next| passed >= next) {
            self.next = Some(passed + BETWEEN);
            self.shown = true;
            say(&format!("{CLEAR}{}", line(passed, self.limit, progress)));
        }
        match self.limit {
            Limit::Time(time) => passed < time,
            Limit::Nodes(nodes) => progress.nodes < nodes,
        }
    }

    /// Takes the progress away again.
    pub(crate) fn end(&self) {
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

fn line(passed: Duration, limit: Limit, progress: &Progress) -> String {
    let done = match limit {
        Limit::Time(time) => format!("{:.0} of {:.0} s", passed.as_secs_f64(), time.as_secs_f64()),
        Limit::Nodes(nodes) => format!("{} of {nodes} nodes", progress.nodes),
    };
    format!(
        "planning, {done}: expected cost {}, {}",
        amount(progress.expected_cost),
        gap(progress.expected_cost, progress.lower_bound),
    )
}

/// How far the plan in hand may be from the best: `no plan costs less than 14.2: at most 4.9 % above the best`.
pub(crate) fn gap(cost: f64, bound: f64) -> String {
    let below = format!("no plan costs less than {}", amount(bound));
    let percent = 100.0 * (cost - bound) / bound;
    if percent.is_finite() && percent < 1000.0 {
        // Rounded up: nothing better is claimed than is known.
        let percent = (percent * 10.0).ceil().max(0.0) / 10.0;
        format!("{below}: at most {percent} % above the best")
    } else {
        below
    }
}

/// A cost with as many digits as anyone reads: four behind the point, more than twelve before it never in full.
pub(crate) fn amount(cost: f64) -> String {
    if cost != 0.0 && !(1e-3..1e12).contains(&cost.abs()) {
        return format!("{cost:.4e}");
    }
    let text = format!("{cost:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
