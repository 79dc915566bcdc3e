//! The rows of the key table.

use super::{Action, Scope, Stroke, Stroke as K};

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
    Work K::PageUp, PageUp, "", "what is told and the list on the bench, a page up";
    Work K::PageDown, PageDown, "", "what is told and the list on the bench, a page down";
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
    Sign K::PageUp, PageUp, "", "what is signed, a page up";
    Sign K::PageDown, PageDown, "", "what is signed, a page down";
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
