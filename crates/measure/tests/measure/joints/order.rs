//! Orders of tightening, and laws of order and torque.

use super::thread;
use proptest::prelude::*;
use reseat_measure::Pattern;
use reseat_measure::joint::tension_n;
use reseat_measure::order;

/// Bolts, order, label of each position clockwise. Source: bolting work sheet in the style of ASME PCC-1, six bolt-circle sketches.
const ORDERS: &[(u8, &[u8], &[u8])] = &[
    (4, &[1, 3, 2, 4], &[1, 3, 2, 4]),
    (8, &[1, 5, 3, 7, 2, 6, 4, 8], &[1, 5, 3, 7, 2, 6, 4, 8]),
    (
        12,
        &[1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12],
        &[1, 5, 9, 3, 7, 11, 2, 6, 10, 4, 8, 12],
    ),
    (
        16,
        &[1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16],
        &[1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16],
    ),
    (
        20,
        &[
            1, 11, 6, 16, 3, 13, 8, 18, 5, 15, 10, 20, 2, 12, 7, 17, 4, 14, 9, 19,
        ],
        &[
            1, 13, 5, 17, 9, 3, 15, 7, 19, 11, 2, 14, 6, 18, 10, 4, 16, 8, 20, 12,
        ],
    ),
    (
        24,
        &[
            1, 13, 7, 19, 4, 16, 10, 22, 2, 14, 8, 20, 5, 17, 11, 23, 3, 15, 9, 21, 6, 18, 12, 24,
        ],
        &[
            1, 9, 17, 5, 13, 21, 3, 11, 19, 7, 15, 23, 2, 10, 18, 6, 14, 22, 4, 12, 20, 8, 16, 24,
        ],
    ),
];

#[test]
fn orders_of_the_published_patterns() {
    for (count, sequence, labels) in ORDERS {
        assert_eq!(
            order(*count, Pattern::Cross).as_deref(),
            Ok(*sequence),
            "{count}"
        );
        for (turn, position) in sequence.iter().enumerate() {
            assert_eq!(
                usize::from(labels[usize::from(*position) - 1]),
                turn + 1,
                "{count}"
            );
        }
    }
    // US Army TB 9-3950-253-13&P (July 2009): second star for 12, and nine in a row labelled 9 7 5 3 1 2 4 6 8 from the left.
    assert_eq!(
        order(12, Pattern::Cross2),
        Ok(vec![1, 7, 4, 10, 2, 8, 6, 12, 5, 11, 9, 3])
    );
    assert!(order(10, Pattern::Cross2).is_err());
    let labels = [9, 7, 5, 3, 1, 2, 4, 6, 8];
    let row = order(9, Pattern::Straight).expect("row");
    assert!(
        row.iter()
            .enumerate()
            .all(|(turn, position)| labels[usize::from(*position) - 1] == turn + 1)
    );
    // Common practice, none published.
    assert_eq!(order(6, Pattern::Cross), Ok(vec![1, 4, 2, 5, 3, 6]));
    assert_eq!(order(5, Pattern::Cross), Ok(vec![1, 4, 2, 5, 3]));
    assert!(order(1, Pattern::Cross).is_err() && order(65, Pattern::Circular).is_err());
    assert!("zigzag".parse::<Pattern>().is_err());
}

proptest! {
    #[test]
    fn an_order_is_a_permutation_with_its_pairs(count in 2u8..=64, which in 0u8..3) {
        let pattern = [Pattern::Cross, Pattern::Circular, Pattern::Straight][usize::from(which)];
        let found = order(count, pattern).expect("order");
        let mut sorted = found.clone();
        sorted.sort_unstable();
        prop_assert_eq!(sorted, (1..=count).collect::<Vec<_>>());
        if pattern == Pattern::Cross {
            for pair in found.chunks_exact(2) {
                let apart = pair[0].abs_diff(pair[1]);
                prop_assert!(apart == count / 2 || apart == count.div_ceil(2), "{:?}", pair);
            }
        }
    }

    #[test]
    fn more_torque_more_tension(a in 1.0f64..500.0, b in 1.0f64..500.0, k in 0.05f64..0.5) {
        let size = thread("M16");
        prop_assert_eq!(a < b, tension_n(a, size, k) < tension_n(b, size, k));
    }
}
