//! The finding codes: stable names, each with its explanation.

macro_rules! codes {
    ($($(#[$doc:meta])* $name:ident = $code:literal: $text:literal;)*) => {
        $($(#[$doc])* #[doc = $text] pub const $name: &str = $code;)*

        /// Every code with its explanation, in the order of this table.
        pub const ALL: &[(&str, &str)] = &[$(($code, $text)),*];
    };
}

codes! {
    TOO_LARGE = "too-large": "The file is larger than any procedure. The reader stops before it spends memory on it. Give the file of one procedure.";
    NOT_UTF8 = "not-utf8": "The file is not UTF-8 text. Approval is of exact bytes and the screens show Unicode, so the reader guesses no other encoding. Save it as UTF-8.";
    BYTE_ORDER_MARK = "byte-order-mark": "The file starts with a byte-order mark, which some editors write unseen. JSON has none (RFC 8259, section 8.1). Save it as UTF-8 without one.";
    TOO_DEEP = "too-deep": "Brackets are nested deeper than a procedure ever needs. The reader refuses such a text before it works on it.";
    NOT_JSON = "not-json": "The text is not JSON. Nothing of it can be read until the bracket, comma or quote at the place named is mended.";
    FORMAT_UNKNOWN = "format-unknown": "The format number is not one that this release reads. Format 1 is read; a higher number was written for a newer reseat.";
    DUPLICATE_MEMBER = "duplicate-member": "One object holds the same member twice. JSON readers disagree on which counts, so none does.";
    UNKNOWN_MEMBER = "unknown-member": "The format knows no member of this name here. Mostly a slip of the keyboard: the nearest name is offered. Nothing unknown is skipped, for a skipped limit would be no limit.";
    MISSING_MEMBER = "missing-member": "A member without which the procedure says too little is not there.";
    WRONG_KIND = "wrong-kind": "Another kind of value is wanted here. Quantities and windows are texts with their unit inside, because a bare number has no unit.";
    UNKNOWN_WORD = "unknown-word": "Only certain words may stand here; this is none of them. The nearest one is offered.";
    EMPTY_TEXT = "empty-text": "A text that people read, or a name, is empty.";
    BAD_NUMBER = "bad-number": "A count or a time in minutes is not a whole number in its range, or is 0 where nothing is meant by 0.";
    CONTROL_CHARACTER = "control-character": "A text holds a character that steers a terminal or turns the reading direction. What people see must be what stands there.";
    DUPLICATE_NAME = "duplicate-name": "Two things of one kind have the same name, so that nobody can tell which is meant. Only joints and parts may share a name, where their `when` differs.";
    UNKNOWN_NAME = "unknown-name": "A step or a declaration names something that is not declared. The nearest declared name is offered.";
    BAD_QUANTITY = "bad-quantity": "A quantity cannot be read: number, one space, unit, as in `40 N·m`; pressure with g, a or d behind, as in `70 bar g`.";
    BAD_WINDOW = "bad-window": "A window cannot be read: `low..high unit`, `low.. unit` or `..high unit`, as in `115..130 N·m` or `..0.05 mm`. Both limits belong to the window.";
    BAD_UNIT = "bad-unit": "A reading without a window needs the unit it is written in, spelled as the table of units has it; with a window the unit is the window's and is not written twice.";
    BAD_ANSWER = "bad-answer": "The right answer of an orientation question must be one of its answers, word for word, and there must be at least two.";
    EMPTY_LIST = "empty-list": "A list that must hold something is empty: answers of a choice, values of an option, passes or wrenches of a joint, sections, steps of a section.";
}

/// What a code means and what to do about it; none for an unknown code.
pub fn explain(code: &str) -> Option<&'static str> {
    ALL.iter()
        .find(|(name, _)| *name == code)
        .map(|(_, text)| *text)
}
