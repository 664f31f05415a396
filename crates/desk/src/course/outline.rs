//! A plan as numbered steps: the likeliest ones written out, the rest left to be asked again.

use engine::{Band, Course, CourseBranch, CourseStep};

/// The plan as a list; step `n` is `steps[n - 1]`, step 1 is where to begin.
#[derive(Debug)]
pub struct Outline<'c> {
    /// The steps that are written out, in the order they are read.
    pub steps: Vec<&'c CourseStep>,
    /// Probability from which a step is written out.
    least: f64,
}

/// One branch as it is written.
#[derive(Debug)]
pub struct Written<'b> {
    /// The readings that lead there.
    pub band: Band,
    /// Of all jobs, how likely they are.
    pub probability: f64,
    /// The likeliest of the branches in it.
    pub likeliest: &'b CourseBranch,
    /// What follows; `None` where it is left to be asked again.
    pub then: Option<&'b CourseStep>,
}

/// Probability below which a step is never written out: one job in a hundred and fifty.
const RARE: f64 = 7e-3;

impl<'c> Outline<'c> {
    /// At most `most` steps, the likeliest.
    pub fn new(course: &'c Course, most: usize) -> Self {
        let mut chances = Vec::new();
        collect(&course.first, &mut |step| chances.push(step.probability()));
        chances.sort_by(|a, b| b.total_cmp(a));
        let least = chances
            .get(most)
            .map_or(RARE, |next| (next * (1.0 + 1e-9)).max(RARE));
        let mut outline = Self {
            steps: Vec::new(),
            least,
        };
        outline.number(&course.first);
        outline
    }

    /// Steps are numbered as they are read: each branch to its end before the next.
    fn number(&mut self, step: &'c CourseStep) {
        self.steps.push(step);
        for next in followers(step) {
            if self.shows(next) {
                self.number(next);
            }
        }
    }

    /// The branches as they are written: neighbours that are all left out become one.
    pub fn written<'b>(&self, branches: &'b [CourseBranch]) -> Vec<Written<'b>> {
        let mut written: Vec<Written> = Vec::new();
        for branch in branches {
            let shown = self.shows(&branch.then);
            match (written.last_mut(), branch.band) {
                (Some(last), Band::Range { to, .. }) if last.then.is_none() && !shown => {
                    if let Band::Range { from, .. } = last.band {
                        last.band = Band::Range { from, to };
                    }
                    last.probability += branch.probability;
                    if branch.probability > last.likeliest.probability {
                        last.likeliest = branch;
                    }
                }
                _ => written.push(Written {
                    band: branch.band,
                    probability: branch.probability,
                    likeliest: branch,
                    then: shown.then_some(&branch.then),
                }),
            }
        }
        written
    }

    /// `true` if `step` is written out.
    pub fn shows(&self, step: &CourseStep) -> bool {
        step.probability() >= self.least
    }

    /// Number of a step that is written out.
    pub fn number_of(&self, step: &CourseStep) -> Option<usize> {
        let place = self.steps.iter().position(|own| std::ptr::eq(*own, step));
        place.map(|place| place + 1)
    }
}

fn collect<'c>(step: &'c CourseStep, take: &mut impl FnMut(&'c CourseStep)) {
    take(step);
    for next in followers(step) {
        collect(next, take);
    }
}

/// The steps that can come next.
fn followers(step: &CourseStep) -> Vec<&CourseStep> {
    match step {
        CourseStep::Check { branches, .. } => branches.iter().map(|CourseBranch { then, .. }| then).collect(),
        CourseStep::Renew { otherwise, .. } | CourseStep::Beyond { otherwise, .. } => {
            otherwise.iter().map(|step| &**step).collect()
        }
    }
}
