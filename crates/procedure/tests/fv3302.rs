//! The shipped FV-3302 procedure against the outline it was written from.
//!
//! SOURCE of every figure here: the outline and torque table of the invented Tern Point site (computed by
//! T = K·D·F from published proof values; the rest common practice, no source).

use reseat_procedure::model::{Asked, Deed, EnergyState, Gap, Pattern, Role, Rounds, Step, Verify};
use reseat_procedure::{Choices, Procedure, builtin, read};

fn procedure() -> Procedure {
    let (name, bytes) = builtin()[0];
    assert_eq!(name, "FV-3302.json");
    read(bytes).expect("the shipped procedure is read")
}

fn steps(procedure: &Procedure) -> Vec<Step> {
    procedure
        .route(&Choices::default())
        .places
        .iter()
        .map(|place| procedure.step(*place).clone())
        .collect()
}

/// Letters behind the numbers of the outline: S makes safer, E lets energy in, H hold, CV and IV verification,
/// O orientation, J joint, M measured.
const LETTERS: &str = "3H 14M 15M 16M 17H 18M 20S 21S 22S 23S 24S 25S 26S 27S 28S 29M 30S 31S 32S 33S 34S 35M 36M 37S 38S 39S 40S \
    44H 47M 75M 76M 77M 78M 79M 82H 85O 86M 87CV 88OCV 89OCV 93CV 99JCV 100OCV 101OCV 102OCV 103O 109J 112J 116IV 118M 119M \
    125E 126S 127M 128J 130E 131M 132M 137E 139E 140M 141S 144E 145M 146M 147S 148M 162E 166H";

fn letters(step: &Step) -> String {
    let asks = |wanted: fn(&Asked) -> bool| step.asks.iter().any(wanted);
    let mut text = String::new();
    if asks(|ask| matches!(ask, Asked::Orientation { .. })) {
        text.push('O');
    }
    if asks(|ask| matches!(ask, Asked::Tighten { .. })) {
        text.push('J');
    }
    if step.safer {
        text.push('S');
    }
    if step.lets_in.is_some() {
        text.push('E');
    }
    if asks(|ask| {
        matches!(
            ask,
            Asked::Reading(_) | Asked::Computed { .. } | Asked::Zero { .. } | Asked::Recheck { .. }
        )
    }) || step.id == "count-threads"
    {
        text.push('M');
    }
    if step.hold.is_some() {
        text.push('H');
    }
    match step.verify {
        Some(Verify::Concurrent) => text.push_str("CV"),
        Some(Verify::Independent) => text.push_str("IV"),
        None => {}
    }
    text
}

#[test]
fn there_are_168_acts_in_nine_sections_with_the_letters_of_the_outline() {
    let procedure = procedure();
    let steps = steps(&procedure);
    assert_eq!(steps.len(), 168);
    let sizes: Vec<usize> = procedure
        .sections
        .iter()
        .map(|section| section.steps.len())
        .collect();
    assert_eq!(sizes, [9, 10, 25, 29, 9, 34, 3, 31, 18]);
    let found: Vec<String> = steps
        .iter()
        .enumerate()
        .map(|(index, step)| format!("{}{}", index + 1, letters(step)))
        .filter(|text| text.ends_with(|letter: char| letter.is_ascii_uppercase()))
        .collect();
    let wanted: Vec<&str> = LETTERS.split_whitespace().collect();
    assert_eq!(found, wanted);
}

/// Numbers stay where the outline has them: a step here and there by number and id.
#[test]
fn the_number_of_an_act_is_its_position() {
    let steps = steps(&procedure());
    for (number, id) in [
        (1, "permit"),
        (10, "gland-drops"),
        (20, "breaker-open"),
        (28, "bleed-actuator"),
        (44, "zero-hold"),
        (45, "mark-bonnet"),
        (59, "crack-bonnet"),
        (68, "packing-off"),
        (74, "wash"),
        (82, "decide"),
        (83, "cap-off"),
        (99, "tighten-j1"),
        (109, "tighten-j4"),
        (112, "tighten-j2"),
        (116, "verify-coupling"),
        (117, "rest"),
        (120, "tools-before-test"),
        (128, "tighten-j3"),
        (140, "hold-70"),
        (145, "seat-leak"),
        (150, "ta1-off"),
        (151, "tools-at-end"),
        (162, "open-v3301"),
        (168, "sign"),
    ] {
        assert_eq!(steps[number - 1].id, id, "{number}");
    }
}

/// Every window of the outline, by the number of its act. Two are worked out from it: ±2 % of the 20 mm stroke is ±0.4 mm,
/// and the 69..71 bar at the start of act 140 is the author's own, so that the hold is made at the 70 bar written.
#[test]
fn the_windows_are_those_of_the_outline() {
    let windows: Vec<(usize, Vec<String>)> = steps(&procedure())
        .iter()
        .enumerate()
        .map(|(index, step)| {
            let of_step = step.asks.iter().filter_map(|ask| match ask {
                Asked::Reading(measured) => measured.window.map(|window| window.to_string()),
                Asked::Computed { window, .. } => Some(window.to_string()),
                _ => None,
            });
            (index + 1, of_step.collect::<Vec<_>>())
        })
        .filter(|(_, windows)| !windows.is_empty())
        .collect();
    let up_and_down = "-0.4..0.4 mm|4.6..5.4 mm|9.6..10.4 mm|14.6..15.4 mm|19.6..20.4 mm|14.6..15.4 mm|9.6..10.4 mm|4.6..5.4 mm|-0.4..0.4 mm";
    let wanted = [
        (14, "55..66 bar g"),
        (15, "1..3 bar g"),
        (16, "-0.4..0.4 mm"),
        (18, up_and_down),
        (29, "-0.02..0.02 bar g"),
        (35, "-0.3..0.3 bar g"),
        (36, "-0.2..0.2 bar g"),
        (75, "..0.05 mm"),
        (76, "..0.05 mm"),
        (77, "..0.05 mm"),
        (78, "15.92..16.00 mm"),
        (79, "..0.10 mm"),
        (86, "0.08..0.20 mm"),
        (131, up_and_down),
        (132, "..0 bubbles"),
        (140, "69..71 bar g|..1.0 bar"),
        (145, "..78 mL/min"),
        (146, "19.6..20.4 mm"),
    ];
    let wanted: Vec<(usize, Vec<String>)> = wanted
        .into_iter()
        .map(|(number, text)| (number, text.split('|').map(str::to_owned).collect()))
        .collect();
    assert_eq!(windows, wanted);
}

#[test]
fn the_joints_are_those_of_the_torque_table() {
    let procedure = procedure();
    let rows: Vec<String> = procedure
        .joints
        .iter()
        .map(|joint| {
            let passes: Vec<String> = joint.passes.iter().map(ToString::to_string).collect();
            format!(
                "{} {} × {} {} {} {} {:?} {}: {}",
                joint.id,
                joint.fasteners,
                joint.thread,
                joint.grade,
                joint.condition,
                joint.window,
                joint.pattern,
                joint.wrenches.join(" "),
                passes.join(" / ")
            )
        })
        .collect();
    assert_eq!(
        rows,
        [
            "J1 8 × M16×2 A4-80 N 115..130 N·m Cross TW-19: 40 N·m / 80 N·m / 122 N·m",
            "J2 4 × M12×1.75 8.8 Z 55..63 N·m Cross TW-17: 30 N·m / 59 N·m",
            "J3 2 × M10×1.5 A4-70 N 8..10 N·m FlatByFlat TW-11: 9 N·m",
            "J4 1 × M16×2 A4-70 N 50..60 N·m Single TW-17: 55 N·m",
        ]
    );
    let rounds: Vec<Rounds> = procedure.joints.iter().map(|joint| joint.rounds).collect();
    assert_eq!(
        rounds,
        [
            Rounds::UpTo(3),
            Rounds::Exactly(1),
            Rounds::None,
            Rounds::None
        ]
    );
    assert!(
        matches!(&procedure.joints[0].gap, Some(Gap::Spread { limit, instrument }) if limit.to_string() == "0.1 mm" && instrument == "FG-1")
    );
    assert_eq!(procedure.joints[0].pattern, Pattern::Cross);
}

#[test]
fn zero_locks_holds_and_waits_are_those_of_the_outline() {
    let procedure = procedure();
    let locks: Vec<&str> = procedure
        .points
        .iter()
        .filter_map(|point| point.lock.as_deref())
        .collect();
    assert_eq!(locks, ["A-1", "A-2", "A-3", "A-4", "A-5", "A-6"]);
    let sides: Vec<String> = procedure
        .zero
        .iter()
        .map(|side| format!("{} {} {}", side.id, side.instrument, side.window))
        .collect();
    assert_eq!(
        sides,
        [
            "upstream PG-12 -0.3..0.3 bar g",
            "downstream PG-7 -0.2..0.2 bar g",
            "actuator air PG-13 -0.02..0.02 bar g"
        ]
    );
    let steps = steps(&procedure);
    let holds: Vec<(usize, Role)> = steps
        .iter()
        .enumerate()
        .filter_map(|(index, step)| Some((index + 1, step.hold?)))
        .collect();
    assert_eq!(
        holds,
        [
            (3, Role::Operations),
            (17, Role::Operations),
            (44, Role::Releaser),
            (82, Role::Releaser),
            (166, Role::Operations)
        ]
    );
    let proves: Vec<(usize, &str)> = steps
        .iter()
        .enumerate()
        .flat_map(|(index, step)| {
            step.asks.iter().filter_map(move |ask| match ask {
                Asked::Reading(measured) => {
                    measured.proves.as_deref().map(|side| (index + 1, side))
                }
                _ => None,
            })
        })
        .collect();
    assert_eq!(
        proves,
        [(29, "actuator air"), (35, "upstream"), (36, "downstream")]
    );
    assert!(
        steps[43]
            .does
            .iter()
            .all(|deed| matches!(deed, Deed::Prove { .. }))
    );
    assert!(steps[116].asks.contains(&Asked::Rest { minutes: 240 }));
    assert!(steps[33].asks.contains(&Asked::Wait { minutes: 10 }));
    assert!(
        steps[..19]
            .iter()
            .all(|step| step.energy == EnergyState::Running)
    );
    assert!(
        steps[19..44]
            .iter()
            .all(|step| step.energy == EnergyState::Isolating)
    );
    assert!(
        steps[44..122]
            .iter()
            .all(|step| step.energy == EnergyState::Zero)
    );
    assert!(
        steps[150..]
            .iter()
            .all(|step| step.energy == EnergyState::Returning)
    );
}

/// The kit line by line; what is new in it is what is thrown away.
#[test]
fn the_kit_is_that_of_the_outline() {
    let procedure = procedure();
    assert_eq!(procedure.kit.number, "K-3302-R");
    let mut kit: Vec<String> = procedure
        .parts
        .iter()
        .filter(|part| part.from_kit)
        .map(|part| format!("{} {}", part.label, part.count))
        .collect();
    kit.sort();
    assert_eq!(
        kit,
        [
            "V-rings 5",
            "bonnet gasket 1",
            "bottom ring 1",
            "guide bush 1",
            "header ring 1",
            "seat gasket 1",
            "split pin 1",
            "wiper 1"
        ]
    );
    assert!(
        procedure
            .parts
            .iter()
            .all(|part| part.from_kit == part.single_use)
    );
}
