//! Laws of the exact numbers: order, rounding, sums and products, and that nothing overflows for what a person can type.

use core::cmp::Ordering;

use proptest::prelude::*;
use reseat_measure::{Decimal, Place, Quantity, QuantityError, Rational, Rounding, Unit, Window};

fn fraction() -> impl Strategy<Value = (i128, i128)> {
    (-10_000i128..10_000, 1i128..10_000)
}

fn rational((num, den): (i128, i128)) -> Rational {
    Rational::new(num, den).expect("fraction")
}

#[test]
fn what_does_not_fit_is_refused() {
    let huge = Rational::new(i128::MAX - 1, 1).expect("fits");
    let tiny = Rational::new(1, i128::MAX - 2).expect("fits");
    assert_eq!(huge.times(huge), Err(QuantityError::Overflow));
    assert_eq!(huge.plus(huge), Err(QuantityError::Overflow));
    assert_eq!(huge.plus(tiny), Err(QuantityError::Overflow));
    assert_eq!(huge.over(Rational::ZERO), Err(QuantityError::Overflow));
    assert_eq!(Rational::new(1, 0), Err(QuantityError::Overflow));
    assert_eq!(Rational::new(i128::MIN, 1), Err(QuantityError::Overflow));
    // Common factors are taken out before giving up.
    assert_eq!(
        huge.times(Rational::new(1, i128::MAX - 1).expect("fits")),
        Rational::new(1, 1)
    );
    // Comparison reaches further than multiplication.
    assert_eq!(huge.cmp(&tiny), Ordering::Greater);
    let next = Rational::new(i128::MAX - 2, 1).expect("fits");
    assert!(next < huge && huge.minus(next) == Rational::new(1, 1));
    assert!(Decimal::new(1_000_000_000_000, 0).is_err() && Decimal::new(1, 13).is_err());
    assert!(Decimal::from_f64(f64::NAN, 2).is_err() && Decimal::from_f64(1e12, 0).is_err());
    assert_eq!(
        huge.round_to(2, Rounding::Down),
        Err(QuantityError::Overflow)
    );
}

/// Two quantities of one kind, as wild as can be typed.
fn pair() -> impl Strategy<Value = (Quantity, Quantity)> {
    let decimal = || {
        (-999_999_999_999i64..=999_999_999_999, 0u8..=12)
            .prop_map(|(d, n)| Decimal::new(d, n).expect("in bounds"))
    };
    (
        decimal(),
        decimal(),
        any::<prop::sample::Index>(),
        any::<prop::sample::Index>(),
    )
        .prop_map(|(a, b, i, j)| {
            let unit = *i.get(Unit::all());
            let kin: Vec<Unit> = Unit::all()
                .iter()
                .copied()
                .filter(|u| u.dimension() == unit.dimension())
                .collect();
            let other = *j.get(&kin);
            (
                Quantity::new(a, unit, None).expect("quantity"),
                Quantity::new(b, other, None).expect("quantity"),
            )
        })
}

proptest! {
    #[test]
    fn sums_and_products_agree_with_cross_multiplication(a in fraction(), b in fraction()) {
        let (x, y) = (rational(a), rational(b));
        prop_assert_eq!(x.plus(y), Rational::new(a.0 * b.1 + b.0 * a.1, a.1 * b.1));
        prop_assert_eq!(x.minus(y), Rational::new(a.0 * b.1 - b.0 * a.1, a.1 * b.1));
        prop_assert_eq!(x.times(y), Rational::new(a.0 * b.0, a.1 * b.1));
        if b.0 == 0 {
            prop_assert!(x.over(y).is_err());
        } else {
            prop_assert_eq!(x.over(y), Rational::new(a.0 * b.1, a.1 * b.0));
        }
        prop_assert_eq!(x.cmp(&y), (a.0 * b.1).cmp(&(b.0 * a.1)));
    }

    #[test]
    fn rounding_brackets_the_number(a in fraction(), decimals in 0u8..6) {
        let x = rational(a);
        let [down, near, up] = [Rounding::Down, Rounding::Nearest, Rounding::Up].map(|way| Rational::from(x.round_to(decimals, way).expect("fits")));
        prop_assert!(down <= x && x <= up);
        let step = Rational::new(1, 10i128.pow(decimals.into())).expect("step");
        prop_assert!(up.minus(down).expect("fits") <= step);
        let far = near.minus(x).expect("fits").abs();
        prop_assert!(far.plus(far).expect("fits") <= step);
    }

    #[test]
    fn an_exact_decimal_is_exact(digits in -999_999_999_999i64..=999_999_999_999, decimals in 0u8..=12) {
        let decimal = Decimal::new(digits, decimals).expect("in bounds");
        prop_assert_eq!(Rational::from(decimal).to_exact_decimal(), Some(decimal));
    }

    #[test]
    fn comparing_never_overflows_and_is_an_order((a, b) in pair()) {
        let there = a.cmp_exact(&b);
        prop_assert!(there.is_ok(), "{} {}: {:?}", a, b, there);
        prop_assert_eq!(there.clone().map(Ordering::reverse), b.cmp_exact(&a));
        // As floats, wherever floats can tell them apart.
        let (x, y) = (a.base().expect("base").to_f64(), b.base().expect("base").to_f64());
        if (x - y).abs() > 1e-9 * x.abs().max(y.abs()) {
            prop_assert_eq!(there, Ok(x.total_cmp(&y)));
        }
    }

    #[test]
    fn a_verdict_agrees_with_comparing_its_limits((limit, reading) in pair()) {
        let window = Window::new(Some(limit.decimal()), None, limit.unit(), None).expect("window");
        // The place is refused, never guessed, where even the distance cannot be written.
        if let Ok(judged) = window.judge(&reading) {
            let below = reading.cmp_exact(&limit) == Ok(Ordering::Less);
            prop_assert_eq!(judged.place == Place::Low, below);
            prop_assert!(judged.distance.decimal().digits() >= 0);
        }
    }
}
