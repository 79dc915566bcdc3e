//! The one key table: it drives dispatch, footer, help and the generated page `docs/keys.md`.
//!
//! A row says in which scope a stroke means which action. Letters act only where no text field is open; the same
//! stroke never means two things in one scope; nothing that files an act hangs on a bare letter. The tests below hold
//! the table against these rules.

mod action;
mod scope;
mod stroke;
mod table;

use std::fmt::Write as _;

use unicode_width::UnicodeWidthStr;

pub use action::Action;
pub use scope::Scope;
pub use stroke::Stroke;
pub use table::{Binding, TABLE};

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
    use super::Stroke as K;
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
