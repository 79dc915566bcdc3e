//! Help, missing arguments, and typed text that would steer the terminal.

use crate::calc;

#[test]
fn help_and_missing_arguments() {
    let help = calc("--help");
    for name in [
        "convert",
        "judge",
        "adapter",
        "preload",
        "torque",
        "order",
        "decay",
        "seat",
        "spring",
        "setpoint-error",
        "life",
    ] {
        help.exits(0).says(name);
        calc(&format!("{name} --help"))
            .exits(0)
            .says("Usage: reseat calc");
        // Nothing given is asked for by name.
        calc(name).exits(2).says("required");
    }
    calc("").exits(2).says("Usage: reseat calc");
    calc("guess").exits(2).says("guess");
}

#[test]
fn typed_text_does_not_steer_the_terminal() {
    let ran = calc("convert '25 \u{1b}[2Jlb' N.m");
    assert!(!ran.exits(2).err.contains('\u{1b}'));
    let ran = calc("judge --window '25..30 N·m' --reading '26 N·m' --rule '\u{202e}elpmis'");
    assert!(!ran.exits(2).err.contains('\u{202e}'));
}
