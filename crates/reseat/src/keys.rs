//! The one key table: it drives dispatch, footer, help and the generated page `docs/keys.md`.
//!
//! A row says in which scope a stroke means which action. Letters act only where no text field is open; the same
//! stroke never means two things in one scope; nothing that files an act hangs on a bare letter. The tests below hold
//! the table against these rules.

use std::fmt::{self, Write as _};

use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use unicode_width::UnicodeWidthStr;

/// One press as the table names it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Stroke {
    /// A function key, by number.
    F(u8),
    /// A printable character other than the blank.
    Char(char),
    /// The blank.
    Space,
    /// Enter.
    Enter,
    /// Esc.
    Esc,
    /// Tab.
    Tab,
    /// Tab with shift.
    BackTab,
    /// Backspace.
    Backspace,
    /// Delete.
    Delete,
    /// Arrow up.
    Up,
    /// Arrow down.
    Down,
    /// Arrow left.
    Left,
    /// Arrow right.
    Right,
    /// Page up.
    PageUp,
    /// Page down.
    PageDown,
    /// Home.
    Home,
    /// End.
    End,
    /// A letter with control.
    Ctrl(char),
}

impl Stroke {
    /// The stroke of a key event; none for keys the program knows nothing of.
    pub fn of(event: &KeyEvent) -> Option<Self> {
        let ctrl = event.modifiers.contains(KeyModifiers::CONTROL);
        let alt = event.modifiers.contains(KeyModifiers::ALT);
        Some(match event.code {
            KeyCode::F(number) => Self::F(number),
            KeyCode::Char(' ') if !ctrl => Self::Space,
            // AltGr comes as control and alt together where the terminal reports both.
            KeyCode::Char(letter) if ctrl && !alt => Self::Ctrl(letter.to_ascii_lowercase()),
            KeyCode::Char(letter) => Self::Char(letter),
            KeyCode::Enter => Self::Enter,
            KeyCode::Esc => Self::Esc,
            KeyCode::Tab => Self::Tab,
            KeyCode::BackTab => Self::BackTab,
            KeyCode::Backspace => Self::Backspace,
            KeyCode::Delete => Self::Delete,
            KeyCode::Up => Self::Up,
            KeyCode::Down => Self::Down,
            KeyCode::Left => Self::Left,
            KeyCode::Right => Self::Right,
            KeyCode::PageUp => Self::PageUp,
            KeyCode::PageDown => Self::PageDown,
            KeyCode::Home => Self::Home,
            KeyCode::End => Self::End,
            _ => return None,
        })
    }

    /// The digit typed, if it is one.
    pub fn digit(self) -> Option<u32> {
        match self {
            Self::Char(letter) => letter.to_digit(10),
            _ => None,
        }
    }

    /// The character it puts into a text field, if any.
    pub fn typed(self) -> Option<char> {
        match self {
            Self::Char(letter) => Some(letter),
            Self::Space => Some(' '),
            _ => None,
        }
    }
}

impl fmt::Display for Stroke {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = match self {
            Self::F(number) => return write!(f, "F{number}"),
            Self::Char(letter) => return write!(f, "{}", letter.to_uppercase()),
            Self::Ctrl(letter) => return write!(f, "Ctrl-{}", letter.to_ascii_uppercase()),
            Self::Space => "Space",
            Self::Enter => "Enter",
            Self::Esc => "Esc",
            Self::Tab => "Tab",
            Self::BackTab => "Shift-Tab",
            Self::Backspace => "Backspace",
            Self::Delete => "Delete",
            Self::Up => "Up",
            Self::Down => "Down",
            Self::Left => "Left",
            Self::Right => "Right",
            Self::PageUp => "PgUp",
            Self::PageDown => "PgDn",
            Self::Home => "Home",
            Self::End => "End",
        };
        f.pad(word)
    }
}

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

/// One row of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Binding {
    /// Where it holds.
    pub scope: Scope,
    /// The stroke.
    pub stroke: Stroke,
    /// What it means.
    pub action: Action,
    /// Label in the footer, at most 14 columns; empty: not in the footer.
    pub label: &'static str,
    /// What it does, in help and page.
    pub meaning: &'static str,
}

/// A table of bindings, one row each: scope, stroke, action, label, meaning.
macro_rules! table {
    ($($scope:ident $stroke:expr, $action:ident, $label:literal, $meaning:literal;)*) => {
        &[$(Binding {
            scope: Scope::$scope,
            stroke: $stroke,
            action: Action::$action,
            label: $label,
            meaning: $meaning,
        }),*]
    };
}

use Stroke as K;

/// The table. Order is the order of the footer.
#[rustfmt::skip]
pub const TABLE: &[Binding] = table! {
    Home K::Enter, Take, "open", "open the unit chosen, or go to its open rebuild";
    Home K::Up, Up, "", "the unit above";
    Home K::Down, Down, "choose", "the unit below";
    Home K::PageUp, PageUp, "", "a page up";
    Home K::PageDown, PageDown, "", "a page down";
    Home K::F(5), Register, "register", "people, places, units, instruments, procedures";
    Home K::F(6), Clock, "clock", "agree with the clock, or give date and time";
    Unit K::Enter, Take, "read record", "read the record chosen";
    Unit K::Char('s'), Start, "start rebuild", "start a rebuild of this unit";
    Unit K::Char('r'), Resume, "resume", "take the open rebuild up again";
    Unit K::Up, Up, "", "the rebuild above";
    Unit K::Down, Down, "choose", "the rebuild below";
    Unit K::Esc, Back, "back", "back to places and units";
    Resume K::Enter, Take, "take it", "take what was typed";
    Resume K::Tab, NextField, "next field", "the next field";
    Resume K::Down, NextField, "", "the next field";
    Resume K::Up, FieldBefore, "", "the field before";
    Resume K::PageUp, PageUp, "", "what is to be read, a page up";
    Resume K::PageDown, PageDown, "", "what is to be read, a page down";
    Resume K::F(7), ReadRecord, "record", "read the record so far";
    Resume K::Esc, Back, "back", "back to the unit; nothing is written";
    Work K::Enter, Take, "", "take what was typed, or the act as done";
    Work K::Space, TakeOther, "", "the act is done, where Enter took the last one";
    Work K::F(2), TypedWrong, "typed wrong", "strike the last reading and read again";
    Work K::F(3), Safer, "makes safer", "write an act that makes safer; open in every state";
    Work K::F(4), Pause, "pause", "pause; then once more: hand over, leave it, tag text";
    Work K::F(9), Stop, "STOP", "stop: leak, lock moved, dropped, called away, person hurt";
    Work K::F(6), More, "more", "finding, not applicable, dropped, lock off, close";
    Work K::F(7), ReadRecord, "record", "read the record so far";
    Work K::PageUp, PageUp, "", "the list on the bench, a page up";
    Work K::PageDown, PageDown, "", "the list on the bench, a page down";
    Work K::Esc, Back, "", "back to the unit, once the work is paused or closed";
    Record K::Up, Up, "", "a line up";
    Record K::Down, Down, "scroll", "a line down";
    Record K::PageUp, PageUp, "", "a page up";
    Record K::PageDown, PageDown, "page", "a page down";
    Record K::Home, Top, "", "to the first page";
    Record K::End, End, "", "to the last line";
    Record K::Esc, Back, "back", "back";
    Register K::Left, Left, "", "the list before";
    Register K::Right, Right, "list", "the next list";
    Register K::Up, Up, "", "the line above";
    Register K::Down, Down, "choose", "the line below";
    Register K::Char('a'), Add, "add", "add to this list; on the procedures: read, then approve";
    Register K::Enter, Take, "", "on the procedures: read the one chosen page by page";
    Register K::Char('t'), Retire, "retire", "retire what is chosen";
    Register K::Char('k'), NewKey, "new key", "a new key for a person who forgot his passphrase";
    Register K::Char('f'), Fit, "fit", "fit the unit chosen in a place, or take it out";
    Register K::Char('c'), Change, "", "put anew what is chosen: roles, a name, a new certificate";
    Register K::Char('q'), Quarantine, "", "quarantine the instrument chosen, or return it";
    Register K::Char('b'), Bench, "", "the bench found the instrument out: recall its readings";
    Register K::Char('o'), FromFile, "", "read a procedure from a file on this laptop, then approve";
    Register K::Char('s'), SiteValues, "", "the values of the site";
    Register K::Char('w'), ByWords, "", "no lead can sign: enrol one by the words of the site's key";
    Register K::Esc, Back, "back", "back to places and units";
    Pages K::Enter, GoOn, "on", "the rest of the page, then the next page";
    Pages K::Space, GoOn, "", "the rest of the page, then the next page";
    Pages K::Left, Left, "", "the page before";
    Pages K::Right, Right, "", "the next page";
    Pages K::Char('n'), NextFinding, "finding", "the next page with a finding";
    Pages K::Char('u'), NextUnread, "unread", "the next page not read to its end, under any options";
    Pages K::Char('o'), Options, "options", "the same step under the next choice of options";
    Pages K::Char('a'), Add, "approve", "approve it, once every page was read";
    Pages K::Up, Up, "", "a line up";
    Pages K::Down, Down, "", "a line down";
    Pages K::PageUp, PageUp, "", "a page up";
    Pages K::PageDown, PageDown, "", "a page down";
    Pages K::Home, Top, "", "to the cover";
    Pages K::End, End, "", "to the last step";
    Pages K::Esc, Back, "back", "back; what was read is kept while the program runs";
    Pages K::Char('r'), Resume, "", "take up what you read of it before you left it";
    Recall K::Char('a'), Add, "point", "add a point the bench found";
    Recall K::Char('t'), Retire, "take back", "take the last point back";
    Recall K::Char('c'), Change, "last check", "another day of the last good check";
    Recall K::Enter, Take, "sign", "put every reading of the list in doubt; signed";
    Recall K::Up, Up, "", "a line up";
    Recall K::Down, Down, "", "a line down";
    Recall K::PageUp, PageUp, "", "a page up";
    Recall K::PageDown, PageDown, "", "a page down";
    Recall K::Esc, Back, "back", "back to the register; nothing is written";
    Form K::Enter, Take, "take it", "the next field; on the last line: take the form";
    Form K::Space, TakeOther, "", "tick or untick; on the last line: take the form";
    Form K::Tab, NextField, "next", "the next field";
    Form K::BackTab, FieldBefore, "", "the field before";
    Form K::Down, NextField, "", "the next field";
    Form K::Up, FieldBefore, "", "the field before";
    Form K::Left, Left, "", "the choice before";
    Form K::Right, Right, "choose", "the next choice";
    Form K::Esc, Back, "back", "back; what was typed is kept, secrets are not";
    Words K::Enter, Take, "take it", "take what was typed";
    Menu K::Enter, Take, "take it", "take the line whose number was typed";
    Menu K::Esc, Back, "back", "back; nothing is written";
    Stop K::Esc, Back, "back", "back to the work; nothing is written";
    Sign K::Enter, Take, "take it", "take the name or the passphrase";
    Sign K::Esc, Back, "back", "back; nothing is signed";
    Help K::Up, Up, "", "a line up";
    Help K::Down, Down, "scroll", "a line down";
    Help K::PageUp, PageUp, "", "a page up";
    Help K::PageDown, PageDown, "page", "a page down";
    Help K::Esc, Back, "back", "back";
    Field K::Backspace, Erase, "", "take the character before the cursor out";
    Field K::Delete, EraseAt, "", "take the character at the cursor out";
    Field K::Left, CursorLeft, "", "cursor to the left";
    Field K::Right, CursorRight, "", "cursor to the right";
    Field K::Home, CursorHome, "", "cursor to the beginning";
    Field K::End, CursorEnd, "", "cursor to the end";
    Field K::Ctrl('u'), ClearField, "", "clear the field";
    Always K::F(1), Help, "help", "this help";
    Always K::F(8), Scheme, "colours", "next colours: sun, dim, plain";
    Always K::F(10), Leave, "leave", "leave the program; a rebuild under way is paused first";
    Always K::Ctrl('l'), Redraw, "", "draw the screen anew";
    Always K::Ctrl('z'), Suspend, "", "set the program aside to the shell; `fg` brings it back";
};

/// What `stroke` means in `scope`; `typing` says whether a text field is open there.
pub fn action(scope: Scope, stroke: Stroke, typing: bool) -> Option<Action> {
    if typing && matches!(stroke, Stroke::Char(_) | Stroke::Space) {
        return None;
    }
    let folded = match stroke {
        Stroke::Char(letter) => Stroke::Char(letter.to_ascii_lowercase()),
        other => other,
    };
    let find = |scope: Scope| {
        TABLE
            .iter()
            .find(|row| row.scope == scope && row.stroke == folded)
            .map(|row| row.action)
    };
    let field = if typing { find(Scope::Field) } else { None };
    field
        .or_else(|| find(scope))
        .or_else(|| find(Scope::Always))
}

/// The rows that stand in the footer of a scope on a screen of so many columns: first its own, then those that hold
/// everywhere for as long as there is room.
pub fn footer(scope: Scope, columns: usize) -> Vec<&'static Binding> {
    let mut rows: Vec<&'static Binding> = Vec::new();
    let mut used = 1;
    for from in [scope, Scope::Always] {
        for row in TABLE
            .iter()
            .filter(|row| row.scope == from && !row.label.is_empty())
        {
            let width = row.stroke.to_string().width() + 1 + row.label.width() + 1;
            if used + width <= columns {
                used += width;
                rows.push(row);
            }
        }
    }
    rows
}

/// The page `docs/keys.md`.
pub fn page() -> String {
    let mut page = String::from(
        "# Keys\n\nMade from the key table of the program; a test keeps it fresh. Letters act only where no text field is open.\n\
         The key that completes a step completes nothing more until a different key has come: where Space took an act,\n\
         Enter takes the next one, and the prompt says which key works now. Nothing is taken in the first 0.3 seconds\n\
         after a question is shown. A paste fills a field and takes nothing. Esc confirms and discards nothing.\n",
    );
    for scope in Scope::ALL {
        let _ = write!(
            page,
            "\n## {}\n\n| Key | What it does |\n|---|---|\n",
            scope.title()
        );
        for row in TABLE.iter().filter(|row| row.scope == scope) {
            let _ = writeln!(page, "| {} | {} |", row.stroke, row.meaning);
        }
        for (keys, meaning) in typed_keys(scope) {
            let _ = writeln!(page, "| {keys} | {meaning} |");
        }
    }
    page
}

/// Digits and letters that are answers, not commands, by scope; shown in help and page beside the table.
pub fn typed_keys(scope: Scope) -> &'static [(&'static str, &'static str)] {
    match scope {
        Scope::Home => &[(
            "letters, digits",
            "find a tag, serial or name; a tag typed in full opens",
        )],
        Scope::Work => &[
            (
                "1 to 9",
                "the fastener just pulled; or a choice, then Enter",
            ),
            ("letters, digits", "a reading, a count or words, then Enter"),
        ],
        Scope::Menu => &[("1 to 9", "the number of a line, then Enter")],
        Scope::Stop => &[("1 to 5", "what happened: written at once")],
        Scope::Sign => &[(
            "letters, digits",
            "a person's number or name, passphrase, PIN to its last digit",
        )],
        Scope::Form => &[("1 to 9", "a choice or a tick, where the line offers them")],
        _ => &[],
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::Action as A;
    use super::Scope as S;
    use super::*;

    #[test]
    fn no_stroke_means_two_things_in_one_scope() {
        let mut seen = BTreeSet::new();
        for row in TABLE {
            assert!(
                seen.insert((row.scope, row.stroke)),
                "{:?} twice in {:?}",
                row.stroke,
                row.scope
            );
            if row.scope != S::Always {
                assert!(
                    !TABLE
                        .iter()
                        .any(|other| other.scope == S::Always && other.stroke == row.stroke),
                    "{:?} in {:?} hides a key that holds everywhere",
                    row.stroke,
                    row.scope
                );
            }
        }
    }

    #[test]
    fn labels_fit_and_every_row_says_what_it_does() {
        for row in TABLE {
            assert!(row.label.width() <= 14, "{}", row.label);
            // Help has 58 columns for it on the narrowest screen that shows everything.
            assert!(
                !row.meaning.is_empty() && row.meaning.width() <= 58,
                "{}",
                row.meaning
            );
        }
    }

    #[test]
    fn every_scope_has_rows_and_help_and_a_way_back() {
        for scope in Scope::ALL {
            assert!(TABLE.iter().any(|row| row.scope == scope), "{scope:?}");
            assert_eq!(action(scope, K::F(1), false), Some(A::Help));
            let rooted = matches!(scope, S::Home | S::Words | S::Field | S::Always);
            assert!(
                rooted || action(scope, K::Esc, true) == Some(A::Back),
                "{scope:?}"
            );
        }
    }

    #[test]
    fn letters_act_only_where_no_field_is_open_and_file_nothing() {
        for row in TABLE.iter().filter(|row| matches!(row.stroke, K::Char(_))) {
            assert_eq!(action(row.scope, row.stroke, true), None);
            assert_eq!(action(row.scope, row.stroke, false), Some(row.action));
            assert!(
                matches!(
                    row.action,
                    A::Start
                        | A::Resume
                        | A::Add
                        | A::Retire
                        | A::NewKey
                        | A::Fit
                        | A::Change
                        | A::Quarantine
                        | A::Bench
                        | A::FromFile
                        | A::SiteValues
                        | A::ByWords
                        | A::NextFinding
                        | A::NextUnread
                        | A::Options
                ),
                "{:?} files something on a bare letter",
                row.action
            );
        }
        assert_eq!(action(S::Unit, K::Char('S'), false), Some(A::Start));
        // An arrow split on a slow line arrives as Esc, `[`, `A`: none of the three may do harm.
        assert_eq!(action(S::Work, K::Char('['), false), None);
        assert_eq!(action(S::Work, K::Char('A'), false), None);
    }

    #[test]
    fn esc_only_ever_goes_back_and_only_enter_and_space_take() {
        for row in TABLE {
            if row.stroke == K::Esc {
                assert_eq!(row.action, A::Back);
            }
            if matches!(row.action, A::Take | A::TakeOther) {
                assert!(matches!(row.stroke, K::Enter | K::Space));
            }
        }
    }

    #[test]
    fn footers_fit_eighty_columns_beside_the_demo_mark() {
        for scope in Scope::ALL
            .into_iter()
            .filter(|scope| !matches!(scope, S::Field | S::Always))
        {
            // Five columns belong to the demo mark.
            let shown = footer(scope, 75);
            for row in TABLE
                .iter()
                .filter(|row| row.scope == scope && !row.label.is_empty())
            {
                assert!(shown.contains(&row), "{scope:?}: {}", row.label);
            }
            assert!(
                shown.iter().any(|row| row.action == A::Help),
                "{scope:?} shows no help"
            );
        }
    }
}
