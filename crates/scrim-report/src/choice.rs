//! Which games a report is about.

/// A team, and which of its games.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// The team, as the tables spell its id.
    pub team: String,
    /// Only its games against this team.
    pub against: Option<String>,
    /// The team that the reader works for: its own play is set beside the other's.
    pub reader: Option<String>,
    /// Only its last games, this many; counted after `against` is applied.
    pub last: Option<u32>,
    /// Also games whose data are poor.
    pub poor_too: bool,
}

impl Choice {
    /// All games of `team`.
    pub fn all_of(team: impl Into<String>) -> Self {
        Self {
            team: team.into(),
            against: None,
            reader: None,
            last: None,
            poor_too: false,
        }
    }
}
