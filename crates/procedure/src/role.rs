//! Roles of people, as procedures and the register name them.

/// Roles on the register.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// Does the work.
    Performer,
    /// Second qualified person.
    Verifier,
    /// Frees hold points and decides findings (lead hand or engineer).
    Releaser,
    /// Owns isolation and return to service.
    Operations,
    /// Writes procedures.
    Author,
    /// Approves procedures and use-as-is.
    Approver,
    /// Enrols people and keeps the register.
    Lead,
}

impl Role {
    /// The word used in texts, files and on screens.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Performer => "performer",
            Self::Verifier => "verifier",
            Self::Releaser => "releaser",
            Self::Operations => "operations",
            Self::Author => "author",
            Self::Approver => "approver",
            Self::Lead => "lead",
        }
    }

    /// All roles.
    pub const ALL: [Self; 7] = [
        Self::Performer,
        Self::Verifier,
        Self::Releaser,
        Self::Operations,
        Self::Author,
        Self::Approver,
        Self::Lead,
    ];

    /// The role named by a word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|role| role.word() == word)
    }
}
