//! Style told by words: passives that do not end in "-ed", and signal words that say more or less than their warning.

use reseat_procedure::check;

const SOUND: &str = include_str!("cases/sound.json");
const ACT: &str = "\"Lift off the cap.\"";
const WARNING: &str = "{\"word\": \"WARNING\", \"text\": \"A screw under load can break. Keep your face out of its line.\"}";

/// Codes found in the sound case with one thing of it replaced.
fn codes(from: &str, to: &str) -> Vec<&'static str> {
    assert_eq!(SOUND.matches(from).count(), 1);
    let findings = check(SOUND.replace(from, to).as_bytes());
    findings.iter().map(|finding| finding.code).collect()
}

fn of_act(act: &str) -> Vec<&'static str> {
    codes(ACT, &format!("\"{act}\""))
}

fn of_warning(word: &str, text: &str) -> Vec<&'static str> {
    codes(
        WARNING,
        &format!("{{\"word\": \"{word}\", \"text\": \"{text}\"}}"),
    )
}

#[test]
fn irregular_participles_are_passive_too() {
    for act in [
        "Watch while the cap is taken off.",
        "Watch while the cap is then held.",
        "Watch while the seals are put in.",
        "Watch while the pin is driven out.",
        "Watch while the ring is slowly cut.",
        "Watch while the pointer is set.",
        "Watch while the mark is shown.",
        "Watch while the cap is lifted.",
        "Watch while the stem is being drawn.",
    ] {
        assert_eq!(of_act(act), ["passive"], "{act}");
    }
}

#[test]
fn states_and_orders_are_no_passives() {
    for act in [
        "Lift off the cap.",
        "Look that the lamp is red.",
        "Look that V-1 is shut.",
        "Lift off the cap held with both hands.",
        "Set the cap to the cut mark.",
        // A state before the act is a condition; the act behind it is an order.
        "Once the last screw is taken out, lift off the cap.",
        "If the cap is scratched, lift it off with a cloth.",
    ] {
        assert_eq!(of_act(act), [""; 0], "{act}");
    }
    // Nobody is told to act, which says of the first word enough.
    assert_eq!(
        of_act("Once the screws are out, the cap is taken off."),
        ["passive"]
    );
}

/// ANSI Z535.4-2007, 4.14: NOTICE addresses practices not related to personal injury; CAUTION minor or moderate injury.
#[test]
fn a_word_too_weak_for_its_warning_is_named() {
    for (word, text) in [
        (
            "NOTICE",
            "Hot oil leaves the drain. Keep your face away from its mouth.",
        ),
        ("NOTICE", "The stem moves. Keep fingers out of the yoke."),
        ("NOTICE", "Metal at steam heat burns at a touch."),
        ("NOTICE", "Steam scalds."),
        ("NOTICE", "CO2 kills unseen."),
        ("CAUTION", "CO2 kills unseen."),
        ("CAUTION", "A stud that breaks can be deadly."),
    ] {
        assert_eq!(
            of_warning(word, text),
            ["signal-word-too-weak"],
            "{word} {text}"
        );
    }
}

#[test]
fn a_word_too_strong_for_its_warning_is_named() {
    for word in ["DANGER", "WARNING", "CAUTION"] {
        for text in [
            "A steel pick scores the groove.",
            "Dry stainless threads gall and seize.",
            "Solvent swells the ring. Keep it away from the parts.",
        ] {
            assert_eq!(
                of_warning(word, text),
                ["signal-word-too-strong"],
                "{word} {text}"
            );
        }
    }
}

/// What may hurt somebody though nobody is named, and faces and hands that are no part of a body.
#[test]
fn a_word_that_fits_is_left_alone() {
    for (word, text) in [
        (
            "NOTICE",
            "A scratch on the face leaks. Keep the ring on cloth.",
        ),
        ("NOTICE", "Gloves and steel tools cut the rings."),
        ("NOTICE", "Grease on the gasket faces lets them slip."),
        (
            "CAUTION",
            "A bath at 90 °C stands open. Keep hands out of it.",
        ),
        ("WARNING", "A scratched cylinder of gas can burst."),
        (
            "WARNING",
            "The line fills at once. Keep clear of the joints.",
        ),
        (
            "WARNING",
            "A spring under load scores its seat and flies out.",
        ),
        ("DANGER", "The sea stands behind one valve alone."),
    ] {
        assert_eq!(of_warning(word, text), [""; 0], "{word} {text}");
    }
}

/// What an act that begins with the word of another desk is told: the field's word, which then passes.
#[test]
fn the_field_has_one_word_for_one_thing() {
    for (act, remedy) in [
        ("Install the cap.", "Write fit: one word for one thing."),
        ("Loosen the cap.", "Write slacken: one word for one thing."),
        ("Torque the cap.", "Write tighten: one word for one thing."),
    ] {
        let findings = check(SOUND.replace(ACT, &format!("\"{act}\"")).as_bytes());
        let told: Vec<(&str, &str)> = findings
            .iter()
            .map(|finding| (finding.code, finding.remedy.as_str()))
            .collect();
        assert_eq!(told, [("verb-first", remedy)], "{act}");
    }
    for act in [
        "Fit the cap.",
        "Slacken the cap.",
        "Stand the cap on the bench.",
    ] {
        assert_eq!(of_act(act), [""; 0], "{act}");
    }
}

#[test]
fn once_more_is_no_condition() {
    assert_eq!(of_act("Lift the cap once more."), [""; 0]);
    assert_eq!(of_act("Lift the cap once it is free."), ["condition-late"]);
    assert_eq!(of_act("Tighten the cap firmly."), ["vague-words"]);
}
