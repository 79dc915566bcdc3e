//! Limits, instruments and torques of the shipped procedures against the outlines and the torque table they were
//! written from.
//!
//! SOURCE of every figure: the outlines and the torque table of the invented sites Tern Point, Copperbeck and MV Skerrin;
//! torques computed by T = K·D·F from published proof values, the rest common practice, no source.

use reseat_procedure::model::{Asked, Gap, Joint, Procedure, Rounds, Step};
use reseat_procedure::{all_choices, builtin, read};

/// File, option, its value, and what is measured on that route: number of the act, limits, and the instruments behind
/// the stroke. Two acts that the outline limits in percent of the travel are written in inches and stand elsewhere.
const LIMITS: &[(&str, &str, &str, &str)] = &[
    (
        "BPR-VENT-11.json",
        "pilot",
        "supplied",
        "7 ..0.5 % | CM-1; 17 8..14 inH2O | PG-6; 18 18..22 psi | PG-16; 19 11.5..12.5 inH2O | PG-6; \
     20 10.5.. inH2O | PG-6; 31 record | CA-2; 36 -0.2..0.2 inH2O | PG-6; 37 -0.2..0.2 inH2O | PG-17; \
     38 -0.5..0.5 psi | PG-16; 43 ..0.5 % | CM-1; 78 ..0.002 in | LS-2; 79 ..0.0016 in | RC-2; \
     80 2.97..3.03 in | CA-2; 81 1.47..1.53 in | CA-2; 99 6..20 lbf·in | TW-06; 135 ..0 bubbles | PG-6; \
     139 ..0 bubbles | PG-16; 143 11.5..12.5 inH2O | PG-6; 144 11.5..12.5 inH2O | PG-6; 145 10.5.. inH2O | PG-6; \
     147 ..0 bubbles | PG-6; 149 -0.5..0.5 psi | PG-16; 155 record | CA-2; 167 8..12.5 inH2O | PG-6; \
     169 ..0.5 % | CM-1",
    ),
    (
        "BPR-VENT-11.json",
        "pilot",
        "breathing",
        "7 ..0.5 % | CM-1; 16 8..14 inH2O | PG-6; 17 11.5..12.5 inH2O | PG-6; 18 10.5.. inH2O | PG-6; 26 record | CA-2; \
     31 -0.2..0.2 inH2O | PG-6; 32 -0.2..0.2 inH2O | PG-17; 37 ..0.5 % | CM-1; 71 ..0.002 in | LS-2; \
     72 ..0.0016 in | RC-2; 73 2.97..3.03 in | CA-2; 74 1.47..1.53 in | CA-2; 92 6..20 lbf·in | TW-06; \
     125 ..0 bubbles | PG-6; 131 11.5..12.5 inH2O | PG-6; 132 11.5..12.5 inH2O | PG-6; 133 10.5.. inH2O | PG-6; \
     135 ..0 bubbles | PG-6; 140 record | CA-2; 150 8..12.5 inH2O | PG-6; 152 ..0.5 % | CM-1",
    ),
    (
        "TCV-KB-02.json",
        "",
        "",
        "13 115..130 psi | PG-5; 14 10..60 psi | PG-3; 36 ..120 °F | TM-2; 39 -1..1 psi | PG-5; 40 -2..2 psi | PG-3; \
     50 0.12.. in | GB-2; 54 -0.2..0.2 psi | PG-15; 61 record; 85 ..0.002 in | LS-2; 86 ..0.002 in | LS-2; \
     87 ..0.002 in | RC-2; 88 0.003..0.008 in | BG-2 MI-2; 89 ..0.004 in | LS-2; 143 ..0 bubbles | PG-15; \
     151 ..3 psi | PG-5; 156 ..123 mL/min | MC-2 PG-4",
    ),
    (
        "PCV-2107.json",
        "",
        "",
        "12 9..11 bar | PG-9; 15 3.4..3.6 bar | PG-10; 17 ..3.9 bar | PG-10; 18 ..0.1 bar | PG-10; 26 record | DG-1; \
     31 -0.1..0.1 bar | PG-9; 32 -0.1..0.1 bar | PG-10; 66 ..0.05 mm | RC-1; 67 81..83 mm | CA-1; 68 ..0.10 mm | LS-1; \
     72 25.00..25.10 mm | BG-1; 105 -0.1..0.1 bar | PG-9 PG-10; 115 ..0.3 bar | PG-9; 116 ..0 drops; \
     121 ..0.1 bar | PG-10; 125 record | DG-1; 125 3.1..3.9 bar | DG-1; 127 3.4..3.6 bar | PG-10; 129 ..3.9 bar | PG-10; 130 ..0.1 bar | PG-10; \
     134 -0.1..0.1 bar | PG-9 PG-10; 137 record | DG-1; 147 3.4..3.6 bar | PG-10; 148 ..0 drops",
    ),
    (
        "PSV-2115.json",
        "cap",
        "plain",
        "14 3..5.5 bar | PG-7; 25 -0.2..0.2 bar | PG-7; 42 5.82..6.18 bar | PG-10; 43 5.6.. bar | PG-10; \
     45 -0.05..0.05 bar | PG-10; 50 record | DG-1; 71 ..0.05 mm | LS-1; 72 ..0.05 mm | RC-1; 73 64.5..65.5 mm | CA-1; \
     103 -0.05..0.05 bar | PG-10; 106 5.82..6.18 bar | PG-10; 107 5.6.. bar | PG-10; 108 ..0 bubbles | PG-10; \
     110 -0.05..0.05 bar | PG-10; 115 -0.2..0.2 bar | PG-7; 129 ..0 bubbles | PG-7; 132 ..0 bubbles | PG-7",
    ),
    (
        "PSV-2115.json",
        "cap",
        "lever",
        "14 3..5.5 bar | PG-7; 25 -0.2..0.2 bar | PG-7; 42 5.82..6.18 bar | PG-10; 43 5.6.. bar | PG-10; \
     45 -0.05..0.05 bar | PG-10; 53 record | DG-1; 74 ..0.05 mm | LS-1; 75 ..0.05 mm | RC-1; 76 64.5..65.5 mm | CA-1; \
     106 -0.05..0.05 bar | PG-10; 109 5.82..6.18 bar | PG-10; 110 5.6.. bar | PG-10; 111 ..0 bubbles | PG-10; \
     113 -0.05..0.05 bar | PG-10; 120 4.4..4.6 bar | PG-10; 122 -0.05..0.05 bar | PG-10; 125 -0.2..0.2 bar | PG-7; \
     139 ..0 bubbles | PG-7; 142 ..0 bubbles | PG-7",
    ),
    (
        "PRV-CO2-04.json",
        "",
        "",
        "7 ..0.5 % | CM-1; 16 240..260 psi | PG-8; 19 44..46 psi | PG-4; 21 ..50 psi | PG-4; 22 ..1 psi | PG-4; \
     29 50.. °F | TM-2; 30 record | CA-2; 35 -2..2 psi | PG-8; 36 -0.5..0.5 psi | PG-4; 41 ..0.5 % | CM-1; \
     72 ..0.004 in | LS-2; 73 ..0.002 in | RC-2; 74 2.37..2.43 in | CA-2; 75 0.86..0.90 in | CA-2; 115 ..0.5 % | CM-1; \
     122 ..0 bubbles | PG-8; 125 ..1 psi | PG-4; 125 ..8 mL/min | PG-4 TM-2; 128 ..0 bubbles | PG-4; 129 44..46 psi | PG-4; 131 44..46 psi | PG-4; \
     133 ..50 psi | PG-4; 134 ..1 psi | PG-4; 142 record | CA-2; 152 44..46 psi | PG-4; 155 ..0.5 % | CM-1",
    ),
    (
        "PRS-STM-07.json",
        "",
        "",
        "12 95..105 psi | PG-5; 13 29..31 psi | PG-16; 15 ..35 psi | PG-16; 16 ..1 psi | PG-16; 31 ..120 °F | TM-2; \
     32 record | CA-2; 36 -1..1 psi | PG-5; 37 -0.5..0.5 psi | PG-16; 91 ..0.002 in | LS-2; 92 0.752..0.758 in | BG-2; \
     93 2.07..2.13 in | CA-2; 94 1.60..1.66 in | CA-2; 95 ..0.003 in | FG-3; 153 ..3 psi | PG-5; \
     154 ..5 mL/min | MC-4; 173 29..31 psi | PG-16; 174 29..31 psi | PG-16; 176 29..31 psi | PG-16; \
     178 ..35 psi | PG-16; 179 ..1 psi | PG-16; 182 record | CA-2; 185 29..31 psi | PG-16",
    ),
    (
        "SA-PRV-03.json",
        "",
        "",
        "12 28..31 bar | PG-24; 15 7.8..8.2 bar | PG-22; 17 ..8.8 bar | PG-22; 18 ..0.2 bar | PG-22; 25 record | CA-3; 30 \
     -0.2..0.2 bar | PG-24; 31 -0.1..0.1 bar | PG-22; 66 ..0.05 mm | LS-3; 67 12.00..12.06 mm | BG-3; 68 93..95 mm | CA-3; \
     69 31.5..32.5 mm | CA-3; 90 3.. mm | CA-3; 107 -0.2..0.2 bar | PG-24; 107 -0.1..0.1 bar | PG-22; 116 ..0.5 bar | \
     PG-24; 117 ..0 drops; 119 -0.2..0.2 bar | PG-24; 119 -0.1..0.1 bar | PG-22; 125 ..0.2 bar | PG-22; 127 -0.2..0.2 bar | \
     PG-24; 127 -0.1..0.1 bar | PG-22; 139 ..0 bubbles | PG-24; 142 ..0 bubbles | PG-22; 143 7.8..8.2 bar | PG-22; 145 \
     7.8..8.2 bar | PG-22; 147 ..8.8 bar | PG-22; 148 ..0.2 bar | PG-22; 154 -0.2..0.2 bar | PG-24; 154 -0.1..0.1 bar | \
     PG-22; 156 record | CA-3; 166 7.8..8.2 bar | PG-22",
    ),
    (
        "LO-TCV-01.json",
        "",
        "",
        "11 ..3 °C | T-4; 12 3.5..4.5 bar | PG-22; 31 ..45 °C | TM-3; 36 -0.1..0.1 bar | PG-22; 37 -0.2..0.2 bar | PG-25; 64 \
     79.90..79.97 mm | MI-3; 65 118..122 mm | CA-3; 66 13.94..14.00 mm | MI-3; 67 74..78 °C | T-4; 68 84..88 °C | T-4; 69 \
     74..78 °C | T-4; 70 84..88 °C | T-4; 73 80.00..80.06 mm | BG-3; 98 -0.1..0.1 bar | PG-22; 98 -0.2..0.2 bar | PG-25; \
     107 ..0.2 bar | PG-22; 109 -0.1..0.1 bar | PG-22; 109 -0.2..0.2 bar | PG-25; 125 ..0 drops",
    ),
    (
        "BL-NRV-06.json",
        "disc",
        "rubber",
        "7 20.4..21.2 % | OM-1; 15 0.1..0.6 bar | PG-23; 16 record | PG-22; 30 -0.02..0.02 bar | PG-23; 31 -0.1..0.1 bar | \
     PG-22; 36 ..0 drops; 61 0.10..0.40 mm | BG-3 MI-3; 62 17.92..18.00 mm | MI-3; 63 ..0.10 mm | RC-3; 66 ..0.10 mm | \
     LS-3; 89 -0.02..0.02 bar | PG-23; 89 -0.1..0.1 bar | PG-22; 98 ..0.2 bar | PG-26; 103 ..0.2 bar | PG-22; 106 \
     -0.02..0.02 bar | PG-23; 106 -0.1..0.1 bar | PG-22; 111 ..0 mL | MC-3 PG-23; 113 ..0 mL | MC-3 PG-23; 115 -0.02..0.02 \
     bar | PG-23; 115 -0.1..0.1 bar | PG-22; 124 ..0 drops; 130 ..0 drops",
    ),
    (
        "BL-NRV-06.json",
        "disc",
        "metal",
        "7 20.4..21.2 % | OM-1; 15 0.1..0.6 bar | PG-23; 16 record | PG-22; 30 -0.02..0.02 bar | PG-23; 31 -0.1..0.1 bar | \
     PG-22; 36 ..0 drops; 61 0.10..0.40 mm | BG-3 MI-3; 62 17.92..18.00 mm | MI-3; 63 ..0.10 mm | RC-3; 67 ..0.10 mm | \
     LS-3; 91 -0.02..0.02 bar | PG-23; 91 -0.1..0.1 bar | PG-22; 100 ..0.2 bar | PG-26; 105 ..0.2 bar | PG-22; 108 \
     -0.02..0.02 bar | PG-23; 108 -0.1..0.1 bar | PG-22; 113 ..5 mL | MC-3 PG-23; 115 ..5 mL | MC-3 PG-23; 117 -0.02..0.02 \
     bar | PG-23; 117 -0.1..0.1 bar | PG-22; 126 ..0 drops; 132 ..0 drops",
    ),
];

/// File and joints: fasteners, thread, grade, condition, window, wrench with passes, pattern, rounds and gap.
const TORQUES: &[(&str, &[&str])] = &[
    (
        "BPR-VENT-11.json",
        &[
            "J1 8 × 5/16-18 Gr 5 G 104..120 lbf·in TW-02: 35 / 70 / 112 Cross Exactly(2) gap 0",
            "J1 12 × 3/8-16 Gr 5 G 15..17.5 lbf·ft TW-12: 7 / 10 / 16.3 Cross Exactly(2) gap 0",
            "J1 12 × 7/16-14 Gr 5 G 24..28 lbf·ft TW-12: 8 / 16 / 26 Cross Exactly(2) gap 0",
            "J2 1 × 3/8-24 F593C G 90..105 lbf·in TW-02: 98 Single None",
            "J3 4 × 1/4-20 Gr 5 Z 60..70 lbf·in TW-02: 40 / 65 Cross Exactly(1)",
            "J4 1 × 5/16-18 Gr 5 Z 60..80 lbf·in TW-02: 70 Single None",
        ],
    ),
    (
        "TCV-KB-02.json",
        &[
            "J1 8 × 5/8-11 B7 H 95..106 lbf·ft TW-10: 30 / 60 / 100 Cross UpTo(3) gap",
            "J2 4 × 1/2-13 Gr 5 D 57..65 lbf·ft TW-12: 30 / 61 Cross Exactly(1)",
            "J3 2 × 3/8-16 B8M cl. 2 H 96..120 lbf·in TW-02: 108 FlatByFlat None",
            "J4 1 × 1/2-20 B8M cl. 2 H 28..34 lbf·ft TW-12: 31 Single None",
        ],
    ),
    (
        "PCV-2107.json",
        &[
            "J1 6 × M8×1.25 A4-70 N 9..11 N·m TW-16: 3 / 6 / 10 Cross Exactly(2)",
            "J2 1 × M10×1.5 A4-70 N 16..20 N·m TW-16: 18 Single None",
            "J3 1 × M30×1.5 A4-50 N 40..50 N·m TW-14: 45 Single None",
            "J4 1 × M12×1.75 A4-70 N 20..26 N·m TW-16: 23 Single None",
        ],
    ),
    (
        "PSV-2115.json",
        &[
            "J1 4 × M10×1.5 A4-70 N 19..22 N·m TW-16: 7 / 13 / 20.5 Cross UpTo(3) gap 0",
            "J2 1 × M12×1.75 A4-70 N 25..30 N·m TW-17: 27.5 Single None",
            "J3 4 × M12×1.75 A4-70 N 33..39 N·m TW-17: 12 / 24 / 36 Cross Exactly(2) gap",
        ],
    ),
    (
        "PRV-CO2-04.json",
        &[
            "J1 8 × 1/4-20 Gr 5 Z 62..72 lbf·in TW-02: 30 / 48 / 67 Cross Exactly(2)",
            "J2 1 × 5/16-18 F593C G 60..72 lbf·in TW-02: 66 Single None",
            "J3 1 × 3/8-16 Gr 5 Z 120..150 lbf·in TW-05: 135 Single None",
        ],
    ),
    (
        "PRS-STM-07.json",
        &[
            "J1 8 × 3/8-16 Gr 5 D 22..26 lbf·ft TW-12: 8 / 16 / 24 Cross UpTo(3) gap",
            "J2 4 × 5/16-18 Gr 5 D 144..168 lbf·in TW-03: 78 / 156 Cross Exactly(1)",
            "J3 8 × 1/2-13 B7 H 46..53 lbf·ft TW-12: 15 / 30 / 49.5 Cross UpTo(3) gap",
            "J4 1 × 3/8-16 Gr 5 D 120..150 lbf·in TW-05: 135 Single None",
        ],
    ),
    (
        "SA-PRV-03.json",
        &[
            "J1 6 × M10×1.5 8.8 D 37..43 N·m TW-36: 14 / 26 / 40 Cross Exactly(2)",
            "J2 1 × M12×1.75 A2-70 P 28..33 N·m TW-36: 30.5 Single None",
            "J3 1 × M36×1.5 5.6 P 80..90 N·m TW-33: 85 Single None",
            "J4 1 × M12×1.75 8.8 D 35..45 N·m TW-31: 40 Single None",
        ],
    ),
    (
        "LO-TCV-01.json",
        &[
            "J1 8 × M12×1.75 8.8 O 50..58 N·m TW-36: 18 / 34 / 54 Cross Exactly(2) gap",
            "J2 2 × M8×1.25 A2-70 N 5..6 N·m TW-35: 5.5 FlatByFlat None",
        ],
    ),
    (
        "BL-NRV-06.json",
        &[
            "J1 4 × M16×2 A4-70 N 84..96 N·m TW-34: 40 / 60 / 90 Cross Exactly(2) gap",
            "J2 1 × M12×1.75 A4-70 N 20..30 N·m TW-31: 20 Single None",
            "J3 2 × M10×1.5 A4-70 N 7..9 N·m TW-35: 8 FlatByFlat None",
        ],
    ),
];

fn procedure(file: &str) -> Procedure {
    let (_, bytes) = builtin()
        .iter()
        .find(|(name, _)| *name == file)
        .expect("a shipped procedure");
    read(bytes).expect("a shipped procedure is read")
}

/// Limits and instruments of a step, the outline's way: no reference behind the unit.
fn measured(step: &Step) -> (Vec<String>, Vec<String>) {
    let plain = |text: String| text.trim_end_matches(" g").replace("(conv)", "");
    let (mut windows, mut instruments) = (Vec::new(), Vec::new());
    for ask in &step.asks {
        match ask {
            Asked::Reading(reading) => {
                windows.push(
                    reading
                        .window
                        .map_or_else(|| "record".to_owned(), |window| plain(window.to_string())),
                );
                instruments.extend(reading.instruments.iter().cloned());
                instruments.extend(reading.beside.iter().map(|(_, name)| name.clone()));
            }
            Asked::Computed { window, .. } => windows.push(plain(window.to_string())),
            Asked::Count { expected: None, .. } => windows.push("record".to_owned()),
            _ => {}
        }
    }
    (windows, instruments)
}

#[test]
fn the_limits_are_those_of_the_outlines() {
    for (file, option, value, acts) in LIMITS {
        let procedure = procedure(file);
        for choices in all_choices(&procedure) {
            if !option.is_empty() && choices.0.get(*option).map(String::as_str) != Some(*value) {
                continue;
            }
            let route = procedure.route(&choices);
            let mut wrong = Vec::new();
            for act in acts.split("; ") {
                let (act, instruments) = act.split_once(" | ").unwrap_or((act, ""));
                let (number, window) = act.split_once(' ').expect("number and window");
                let number: usize = number.parse().expect("a number");
                let step = procedure.step(route.places[number - 1]);
                let (windows, used) = measured(step);
                // What zero was found to be is asked of every side of the zero check at once.
                let zero = step
                    .asks
                    .iter()
                    .any(|ask| matches!(ask, Asked::Zero { .. }));
                let sides = procedure
                    .zero
                    .iter()
                    .map(|side| (side.window, &side.instrument));
                let by_zero = zero
                    && instruments.split(' ').all(|name| {
                        sides.clone().any(|(limits, gauge)| {
                            gauge == name
                                && limits
                                    .to_string()
                                    .trim_end_matches(" g")
                                    .replace("(conv)", "")
                                    == window
                        })
                    });
                let found = windows.iter().any(|limits| limits == window)
                    && instruments
                        .split(' ')
                        .all(|name| name.is_empty() || used.iter().any(|other| other == name));
                if !found && !by_zero {
                    wrong.push(format!(
                        "{number} {window} {instruments}, but {windows:?} {used:?} [{}]",
                        step.id
                    ));
                }
            }
            assert!(wrong.is_empty(), "{file} {value}\n{}", wrong.join("\n"));
        }
    }
}

fn row(joint: &Joint) -> String {
    let unit = joint.window.unit().symbol();
    let passes: Vec<String> = joint
        .passes
        .iter()
        .map(|pass| pass.to_string().trim_end_matches(unit).trim().to_owned())
        .collect();
    let rounds = match joint.rounds {
        Rounds::None => "None".to_owned(),
        Rounds::UpTo(most) => format!("UpTo({most})"),
        Rounds::Exactly(rounds) => format!("Exactly({rounds})"),
    };
    let gap = match joint.gap {
        None => "",
        Some(Gap::Spread { .. }) => " gap",
        Some(Gap::Closed { .. }) => " gap 0",
    };
    format!(
        "{} {} × {} {} {} {} {}: {} {:?} {rounds}{gap}",
        joint.id,
        joint.fasteners,
        joint
            .thread
            .trim_end_matches(" UNC")
            .trim_end_matches(" UNF"),
        joint.grade,
        joint.condition,
        joint.window,
        joint.wrenches.join(" "),
        passes.join(" / "),
        joint.pattern,
    )
}

#[test]
fn the_joints_are_those_of_the_torque_table() {
    for (file, rows) in TORQUES {
        let found: Vec<String> = procedure(file).joints.iter().map(row).collect();
        assert_eq!(found, *rows, "{file}");
    }
}
