//! Threads and strengths.

use super::{bolt, thread};
use crate::close;
use reseat_measure::Basis;
use reseat_measure::Bolt;
use reseat_measure::Grade;
use reseat_measure::Thread;

/// ASME B1.1 tensile stress areas: name, printed in², computed in² (formula π/4·(d − 0.9743/n)²).
const INCH_AREAS: &[(&str, f64, f64)] = &[
    ("1/4-20 UNC", 0.0318, 0.031821),
    ("5/16-18 UNC", 0.0524, 0.05243),
    ("3/8-16 UNC", 0.0775, 0.07749),
    ("7/16-14 UNC", 0.1063, 0.106308),
    ("1/2-13 UNC", 0.1419, 0.141898),
    ("9/16-12 UNC", 0.182, 0.181944),
    ("5/8-11 UNC", 0.226, 0.226002),
    ("3/4-10 UNC", 0.334, 0.33446),
    ("7/8-9 UNC", 0.462, 0.461733),
    ("1-8 UNC", 0.606, 0.605744),
    ("1/4-28 UNF", 0.0364, 0.036374),
    ("5/16-24 UNF", 0.058, 0.058066),
    ("3/8-24 UNF", 0.0878, 0.087828),
    ("7/16-20 UNF", 0.1187, 0.118716),
    ("1/2-20 UNF", 0.1599, 0.159953),
    ("5/8-18 UNF", 0.256, 0.255957),
    ("3/4-16 UNF", 0.373, 0.37296),
];

/// ISO 898-1 nominal stress areas: name, printed mm², five-figure table mm², computed mm².
const METRIC_AREAS: &[(&str, f64, f64, f64)] = &[
    ("M6x1", 20.1, 20.123, 20.1234),
    ("M8x1.25", 36.6, 36.609, 36.6085),
    ("M10x1.5", 58.0, 57.99, 57.9896),
    ("M12x1.75", 84.3, 84.267, 84.2665),
    ("M16x2", 157.0, 156.67, 156.6684),
    ("M20x2.5", 245.0, 244.79, 244.7944),
];

#[test]
fn stress_areas_of_asme_b1_1_and_iso_898_1() {
    for (name, printed, computed) in INCH_AREAS {
        let thread = thread(name);
        assert_eq!(thread.to_string(), *name);
        assert!(
            close(thread.stress_area_in2(), *computed, 2e-5),
            "{name}: {}",
            thread.stress_area_in2()
        );
        assert!(
            close(
                thread.tabulated_area_mm2().expect(name),
                printed * 645.16,
                1e-12
            ),
            "{name}"
        );
        // The printed figures have three or four digits.
        assert!(close(thread.stress_area_in2(), *printed, 2.1e-3), "{name}");
    }
    for (name, printed, five, computed) in METRIC_AREAS {
        let thread = thread(name);
        assert!(
            close(thread.stress_area_mm2(), *computed, 5e-6),
            "{name}: {}",
            thread.stress_area_mm2()
        );
        assert!(close(thread.stress_area_mm2(), *five, 5e-5), "{name}");
        assert_eq!(thread.tabulated_area_mm2(), Some(*printed), "{name}");
    }
}

#[test]
fn threads_are_read_as_people_type_them() {
    let pairs = [
        ("3/8-16", "3/8-16 UNC"),
        ("3/8 - 16 unc", "3/8-16 UNC"),
        ("0.375-16", "3/8-16 UNC"),
        ("3/8\"-16", "3/8-16 UNC"),
        ("1 1/8-8", "1 1/8-8 8UN"),
        ("1-1/8-7 UNC", "1 1/8-7 UNC"),
        ("#10-32", "#10-32 UNF"),
        ("M16x2", "M16×2"),
        ("m16 x 2.0", "M16×2"),
        ("M16", "M16×2"),
        ("M30×1.5", "M30×1.5"),
        ("M8x1,25", "M8×1.25"),
    ];
    for (typed, printed) in pairs {
        assert_eq!(thread(typed).to_string(), printed, "{typed}");
    }
    for each in Thread::all() {
        assert_eq!(Thread::parse(&each.to_string()), Ok(each));
    }
    let refused = Thread::parse("3/8-20 UNC").expect_err("no such thread");
    assert!(
        refused.nearest.contains(&"3/8-16 UNC".to_owned()),
        "{refused}"
    );
    let refused = Thread::parse("M15x2").expect_err("no such thread");
    assert!(
        refused
            .nearest
            .iter()
            .all(|name| name.starts_with("M14") || name.starts_with("M16")),
        "{refused}"
    );
    let refused = Thread::parse("1/4").expect_err("no pitch");
    assert!(
        refused.nearest.iter().any(|name| name == "1/4-20 UNC"),
        "{refused}"
    );
    for broken in [
        "",
        "M",
        "x",
        "3/0-16",
        "3/8",
        "-16",
        "M16x",
        "M16x2x3",
        "99999999999999-1",
        "#99-3",
        "1 1/8",
    ] {
        assert!(Thread::parse(broken).is_err(), "{broken}");
    }
}

#[test]
fn strengths_of_sae_j429_astm_a193_and_iso_898_1() {
    // Missouri S&T quoting Shigley & Mischke (SAE J429); published tables of ASTM A193 and EN ISO 898-1.
    let ksi = [
        ("SAE J429 2", "3/4-10", 55.0, Basis::Proof),
        ("SAE J429 2", "7/8-9", 33.0, Basis::Proof),
        ("Gr 5", "1-8", 85.0, Basis::Proof),
        ("Grade 5", "1 1/8-7", 74.0, Basis::Proof),
        ("SAE J429 8", "1 1/2-6", 120.0, Basis::Proof),
        ("A193 B7", "5/8-11", 105.0, Basis::Yield),
        ("B8M class 1", "1/2-13", 30.0, Basis::Yield),
        ("B8 class 2", "3/4-10", 100.0, Basis::Yield),
        ("B8 cl. 2", "1-8", 80.0, Basis::Yield),
        ("B8 cl. 2", "1 1/4-7", 65.0, Basis::Yield),
        ("B8 cl. 2", "1 1/2-6", 50.0, Basis::Yield),
        ("B8M cl. 2", "3/8-16", 95.0, Basis::Yield),
    ];
    for (grade, size, wanted, basis) in ksi {
        let strength = bolt(size, grade).strength();
        assert!(
            close(strength.stress_mpa, wanted * 6.894_757_293_168_361, 1e-12)
                && strength.basis == basis,
            "{grade} {size}"
        );
    }
    let mpa = [
        ("8.8", "M16", 580.0),
        ("8.8", "M18", 600.0),
        ("10.9", "M10", 830.0),
        ("ISO 898-1 12.9", "M12", 970.0),
    ];
    for (grade, size, wanted) in mpa {
        assert!(
            close(bolt(size, grade).strength().stress_mpa, wanted, 1e-12),
            "{grade} {size}"
        );
    }
    // ISO 898-1 proof loads are printed with three figures: the printed area times the proof stress.
    for (size, p88, p109) in [
        ("M6", 11_600.0, 16_700.0),
        ("M8", 21_200.0, 30_400.0),
        ("M10", 33_700.0, 48_100.0),
        ("M12", 48_900.0, 70_000.0),
        ("M16", 91_000.0, 130_000.0),
    ] {
        assert!(close(bolt(size, "8.8").proof_load_n(), p88, 7e-3), "{size}");
        assert!(
            close(bolt(size, "10.9").proof_load_n(), p109, 7e-3),
            "{size}"
        );
    }
    for (typed, nearest) in [
        ("Grade 6", "SAE J429 5"),
        ("A4-90", "ISO 3506-1 A4-80"),
        ("B9", "ASTM A193 B7"),
        ("8.9", "ISO 898-1 8.8"),
    ] {
        let sentence = Grade::parse(typed).expect_err(typed).to_string();
        assert!(sentence.contains(nearest), "{sentence}");
    }
    assert!(Bolt::new(thread("1-8"), Grade::F593C).is_err());
    for grade in Grade::all() {
        assert_eq!(Grade::parse(grade.name()), Ok(grade));
    }
}
