//! Whatever bytes come in, reading and proving answer; and what they answer is placed in the text.

use proptest::prelude::*;
use reseat_procedure::{check, read};

const SOUND: &str = include_str!("cases/sound.json");

/// Pieces of JSON and of the format, to be put anywhere.
const PIECES: &[&str] = &[
    "{",
    "}",
    "[",
    "]",
    ",",
    ":",
    "\"",
    "null",
    "4294967295",
    "-1",
    "1e400",
    "\"when\": {\"ring\": [\"fkm\"]}",
    "\\u0000",
    "\u{202e}",
    "0",
    "\"count\": 4294967295,",
    "\"does\": [\"test\"],",
    "\"asks\": [\"done\"],",
    "\"N·m\"",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_spoilt_text_is_answered(places in prop::collection::vec((0_usize..20_000, 0..PIECES.len(), 0_usize..40), 1..4)) {
        let mut bytes = SOUND.as_bytes().to_vec();
        for (at, piece, cut) in places {
            let at = at % bytes.len();
            let end = (at + cut).min(bytes.len());
            bytes.splice(at..end, PIECES[piece].bytes());
        }
        for finding in check(&bytes) {
            prop_assert!(finding.line > 0 && finding.column > 0, "{finding:?}");
            prop_assert!(!finding.message.is_empty() && !finding.remedy.is_empty());
            prop_assert!(!finding.message.chars().any(char::is_control), "{finding:?}");
        }
    }

    #[test]
    fn any_bytes_are_answered(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        prop_assert!(read(&bytes).is_err());
    }

    /// A number swapped for another keeps the shape, so the proof itself is reached.
    #[test]
    fn other_numbers_are_answered(change in 0_usize..400, number in prop_oneof![Just(0_u32), Just(1), 2_u32..100, Just(u32::MAX)]) {
        let text = SOUND;
        let numbers: Vec<(usize, usize)> = text
            .match_indices(": ")
            .filter_map(|(at, _)| {
                let digits = text[at + 2..].bytes().take_while(u8::is_ascii_digit).count();
                (digits > 0).then_some((at + 2, digits))
            })
            .collect();
        let (at, digits) = numbers[change % numbers.len()];
        let changed = format!("{}{number}{}", &text[..at], &text[at + digits..]);
        prop_assert!(check(changed.as_bytes()).iter().all(|finding| finding.line > 0));
    }
}
