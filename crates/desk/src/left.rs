//! How a job was left, for whoever goes on.

use crate::case::Case;
use crate::desk::Held;
use crate::mending::repair_standing;
use crate::words;
use jiff::Timestamp;
use job::Stage;

/// How a job was left, for whoever goes on: what was about to be done, the last reading, what is open or off, whether the engine
/// was hot, what the proof lacks. `when` says how long ago a time is, or which it was.
pub fn left(held: &Held, case: Option<&Case>, when: &dyn Fn(Timestamp) -> String) -> Vec<String> {
    let job = &held.job;
    let mut sentences = Vec::new();
    if let Some(case) = case.filter(|_| job.stage == Stage::Checking) {
        let next = case.next(&engine::outlook(&case.belief));
        if let Some(next) = next.first() {
            let check = &case.model.checks()[next.check];
            let circuit = case.model.circuit();
            sentences.push(format!(
                "About to be done: {}, that is {}, {}, {} ({}).",
                check.id,
                words::place(circuit, check),
                words::manner(check),
                words::condition(circuit, check),
                words::minutes(next.minutes)
            ));
        }
    }
    if let Some(last) = job.counting().last() {
        let who = by(&last.who);
        sentences.push(format!(
            "Last reading, {}{who}: {} = {}.",
            when(last.at),
            last.check,
            last.said.text()
        ));
    }
    if let Some(last) = job.proofs.last() {
        let (by, read) = (by(&last.who), last.said.text());
        sentences.push(format!(
            "Last check after the repair, {}{by}: {} = {read}.",
            when(last.at),
            last.check
        ));
    }
    if let Some((open, off, hot)) = &job.stands {
        let then = job.stood.map_or_else(String::new, |at| format!(", {}", when(at)));
        if !open.is_empty() {
            sentences.push(format!("Open{then}: {}.", words::list(open)));
        }
        if !off.is_empty() {
            sentences.push(format!("Off the vehicle{then}: {}.", words::list(off)));
        }
        if let Some(hot) = hot {
            let how = if *hot { "hot" } else { "cold" };
            sentences.push(format!("The engine was {how}{then}."));
        }
    }
    if !job.comebacks.is_empty() {
        sentences.push(format!(
            "The complaint came back {}: repeat the check that proved the repair first.",
            match job.comebacks.len() {
                1 => "once".to_owned(),
                times => format!("{times} times"),
            }
        ));
    }
    if matches!(job.stage, Stage::Repaired | Stage::Watch) {
        sentences.extend(repair_standing(held));
    }
    sentences
}

/// ` by Ann`, or nothing for nobody.
fn by(who: &str) -> String {
    if who.is_empty() {
        String::new()
    } else {
        format!(" by {who}")
    }
}
