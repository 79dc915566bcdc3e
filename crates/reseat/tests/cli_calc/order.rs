//! Tightening orders.

use crate::{numbers, refuses, says};
use serde_json::json;

/// Published cross patterns, as positions clockwise from the top in the order of tightening. Source: bolting work sheet in the style of ASME
/// PCC-1, sketches of 4, 8, 12, 16, 20 and 24 bolts.
const CROSS: [(&str, &[u8]); 6] = [
    ("4", &[1, 3, 2, 4]),
    ("8", &[1, 5, 3, 7, 2, 6, 4, 8]),
    ("12", &[1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12]),
    (
        "16",
        &[1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16],
    ),
    (
        "20",
        &[
            1, 11, 6, 16, 3, 13, 8, 18, 5, 15, 10, 20, 2, 12, 7, 17, 4, 14, 9, 19,
        ],
    ),
    (
        "24",
        &[
            1, 13, 7, 19, 4, 16, 10, 22, 2, 14, 8, 20, 5, 17, 11, 23, 3, 15, 9, 21, 6, 18, 12, 24,
        ],
    ),
];

#[test]
fn orders_of_the_published_patterns() {
    for (count, positions) in CROSS {
        assert_eq!(
            numbers(&format!("order '{count}'")),
            json!({"order": positions})
        );
        assert_eq!(
            numbers(&format!("order '{count}' --pattern cross")),
            json!({"order": positions})
        );
    }
    // US Army TB 9-3950-253-13&P (July 2009): the second star of 12, and a row of nine labelled 9 7 5 3 1 2 4 6 8 from the left.
    assert_eq!(
        numbers("order 12 --pattern cross-2"),
        json!({"order": [1, 7, 4, 10, 2, 8, 6, 12, 5, 11, 9, 3]})
    );
    let labels = [9, 7, 5, 3, 1, 2, 4, 6, 8];
    let row: Vec<usize> = (1..=9)
        .map(|turn| 1 + labels.iter().position(|label| *label == turn).unwrap())
        .collect();
    assert_eq!(numbers("order 9 --pattern straight"), json!({"order": row}));
    assert_eq!(
        numbers("order 5 --pattern circular"),
        json!({"order": [1, 2, 3, 4, 5]})
    );
    says(
        "order 8",
        "Tighten in this order, cross, positions numbered clockwise from the top: 1, 5, 3, 7, 2, 6, 4, 8.",
    );
    for (count, part) in [
        (
            "1",
            "no order for so many fasteners: 1; give a number from 2 to 64",
        ),
        ("65", "from 2 to 64"),
        ("300", "no order for so many fasteners: 300"),
        ("-8", "\"-8\" is no count of fasteners"),
        ("eight", "type a whole number from 2 to 64"),
        ("8.5", "type a whole number"),
    ] {
        refuses(&format!("order '{count}'"), &[part]);
    }
    refuses(
        "order 8 --pattern zigzag",
        &["--pattern", "cross, cross-2, circular, straight"],
    );
    refuses(
        "order 8 --pattern cross-2",
        &["published for 12 fasteners only"],
    );
}

#[test]
fn every_order_is_a_permutation_with_its_pairs() {
    // Even n: successive pairs are n/2 apart; odd n: (n ± 1)/2.
    for count in 2u8..=64 {
        let found = numbers(&format!("order {count}"));
        let order: Vec<u8> = serde_json::from_value(found["order"].clone()).unwrap();
        let mut sorted = order.clone();
        sorted.sort_unstable();
        assert_eq!(sorted, (1..=count).collect::<Vec<u8>>());
        for pair in order.chunks_exact(2) {
            let apart = pair[0].abs_diff(pair[1]);
            assert!(
                apart == count / 2 || apart == count.div_ceil(2),
                "{count}: {pair:?}"
            );
        }
    }
}
