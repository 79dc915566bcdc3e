//! What the window of a joint does to its bolts stands beside the work, and what the last torque came to.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod rebuild_site;

use rebuild_site::Site;
use reseat_record::rebuild::{Inner, Point};

/// FV-3302 J1, M16×2 A4-80 with nickel anti-seize, by hand: 130 N·m at K 0.12 pull 130/(0.12 × 0.016) = 67 708 N, 72.03 % of the
/// 0.2 % yield (ISO 3506-1 A4-80, 600 MPa on 156.67 mm² = 94 000 N), rounded up; 115 N·m at K 0.16 clamp with 44 922 N each, eight
/// with 359 375 N, rounded down; 122 N·m at K 0.12 pull 63 542 N, 67.6 %.
#[test]
fn the_load_of_the_window_and_of_the_last_torque_stands_at_the_joint() {
    let mut site = Site::at("tighten-j1");
    let load = |site: &Site| site.rebuild().joint_view("J1").unwrap().load;
    let ends = "at most 73 % of the 0.2 % yield, at least 359 kN";
    assert_eq!(load(&site), ends);
    site.goes_on(|ask| matches!(ask.point, Point::Asked(_, _, Inner::Fastener(1, 3, _))));
    site.types("122").unwrap();
    assert_eq!(load(&site), format!("{ends}; last 68 %"));
}
