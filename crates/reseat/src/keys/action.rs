//! What a stroke may mean.

/// What a stroke means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Action {
    /// Take what is answered, or the act as done; open what is chosen.
    Take,
    /// The other key that takes a plain act.
    TakeOther,
    /// Back to where one came from; confirms and discards nothing.
    Back,
    /// Help.
    Help,
    /// The last reading was mistyped.
    TypedWrong,
    /// Record an act that makes safer.
    Safer,
    /// Pause.
    Pause,
    /// What is rare: findings, not applicable, dropped, lock off, close incomplete.
    More,
    /// Read the record.
    ReadRecord,
    /// Next colour scheme.
    Scheme,
    /// STOP.
    Stop,
    /// Leave the program.
    Leave,
    /// Draw everything anew.
    Redraw,
    /// Set the program aside to the shell.
    Suspend,
    /// The clock.
    Clock,
    /// The register.
    Register,
    /// Start a rebuild.
    Start,
    /// Resume the open rebuild.
    Resume,
    /// One up.
    Up,
    /// One down.
    Down,
    /// To the left, or the list before.
    Left,
    /// To the right, or the list after.
    Right,
    /// A page up.
    PageUp,
    /// A page down.
    PageDown,
    /// To the top.
    Top,
    /// To the end.
    End,
    /// The next field.
    NextField,
    /// The field before.
    FieldBefore,
    /// Add to the list shown.
    Add,
    /// Retire what is chosen.
    Retire,
    /// A new key for the person chosen.
    NewKey,
    /// Fit the unit chosen in a place.
    Fit,
    /// Put anew what the register says of the line chosen.
    Change,
    /// Quarantine the instrument chosen, or return it.
    Quarantine,
    /// The bench found the instrument chosen out.
    Bench,
    /// Approve a procedure from a file.
    FromFile,
    /// The values of the site.
    SiteValues,
    /// By the words of the site's key.
    ByWords,
    /// The rest of the page, then the next one.
    GoOn,
    /// The next page with a finding.
    NextFinding,
    /// The next page that was not read.
    NextUnread,
    /// The next choice of options.
    Options,
    /// Take the character before the cursor out.
    Erase,
    /// Take the character at the cursor out.
    EraseAt,
    /// Cursor to the left.
    CursorLeft,
    /// Cursor to the right.
    CursorRight,
    /// Cursor to the beginning.
    CursorHome,
    /// Cursor to the end.
    CursorEnd,
    /// Clear the field.
    ClearField,
}
