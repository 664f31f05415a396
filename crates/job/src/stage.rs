//! How far a job is, from looking for the cause to closed.

/// How far a job is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Looking for the cause.
    Checking,
    /// The cause is proven, nothing offered yet.
    Proven,
    /// An offer waits for an answer.
    Quoted,
    /// The customer said yes.
    Agreed,
    /// Repaired; what condemned the part has not been made again and found healthy.
    Repaired,
    /// The checks after the repair are good ([`Job::missing_proof`] says whether the drive is); trips are counted until the
    /// module clears its code.
    Watch,
    /// Done.
    Closed,
}

impl Stage {
    /// Every stage, first to last.
    pub const ALL: [Self; 7] = [
        Self::Checking,
        Self::Proven,
        Self::Quoted,
        Self::Agreed,
        Self::Repaired,
        Self::Watch,
        Self::Closed,
    ];

    /// In one word.
    pub fn name(self) -> &'static str {
        match self {
            Self::Checking => "checking",
            Self::Proven => "proven",
            Self::Quoted => "quoted",
            Self::Agreed => "agreed",
            Self::Repaired => "repaired",
            Self::Watch => "watch",
            Self::Closed => "closed",
        }
    }
}
