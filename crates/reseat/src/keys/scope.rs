//! Where a row of the key table holds.

/// Where a row of the table holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Scope {
    /// Places and units.
    Home,
    /// A unit and its past.
    Unit,
    /// Taking a rebuild up again.
    Resume,
    /// A rebuild under way.
    Work,
    /// A record read back.
    Record,
    /// People, places, units, instruments, procedures.
    Register,
    /// A procedure page by page.
    Pages,
    /// An instrument found out.
    Recall,
    /// Any form.
    Form,
    /// The words of the site key.
    Words,
    /// A list of choices above a screen.
    Menu,
    /// STOP.
    Stop,
    /// A signature.
    Sign,
    /// Help.
    Help,
    /// Any text field, before the scope it stands in.
    Field,
    /// Everywhere, after the scope.
    Always,
}

impl Scope {
    /// All scopes in the order of help and page.
    pub const ALL: [Self; 16] = [
        Self::Home,
        Self::Unit,
        Self::Resume,
        Self::Work,
        Self::Record,
        Self::Register,
        Self::Pages,
        Self::Recall,
        Self::Form,
        Self::Words,
        Self::Menu,
        Self::Stop,
        Self::Sign,
        Self::Help,
        Self::Field,
        Self::Always,
    ];

    /// Heading in help and page.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Home => "Places and units",
            Self::Unit => "A unit and its past",
            Self::Resume => "Taking a rebuild up again",
            Self::Work => "A rebuild under way",
            Self::Record => "A record read back",
            Self::Register => "The register",
            Self::Pages => "A procedure page by page",
            Self::Recall => "An instrument found out",
            Self::Form => "Forms",
            Self::Words => "The words of the site key",
            Self::Menu => "Lists of choices",
            Self::Stop => "STOP",
            Self::Sign => "A signature",
            Self::Help => "Help",
            Self::Field => "In any text field",
            Self::Always => "Everywhere",
        }
    }
}
