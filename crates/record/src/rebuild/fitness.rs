//! Which instruments may be used at the point that is due, best first, and why not the others.
//!
//! What a joint, a measurement, a zero check or a test wants of an instrument is worked out from the procedure ([`Need`]);
//! the register, the clock, this rebuild's own quarantines and what other open rebuilds hold are held against it. The same
//! function fills the ask and refuses in `decide`, so that neither can say what the other does not.

use reseat_measure::instrument::{Instrument as Gauge, Standing, Unfit, full_scale_suits};
use reseat_measure::rule::Rule;
use reseat_measure::{InstrumentKind, Place, Quantity, Unit, Window, fitness};
use reseat_procedure::model::{Asked, Deed, EnergyState, Gap, Joint, Measured};

use super::ask::{Inner, NotOffered, Offer, Offered, Point};
use super::ruling::Ruling;
use super::state::{JointState, Rebuild};
use super::time::local_day;
use super::zero::ZeroPart;
use crate::log::{Clock, Stamp};
use crate::refusal::{Against, Refusal, Work};
use crate::register::{Instrument, Register, Service};

/// What an instrument is wanted for.
#[derive(Debug, Clone)]
pub(super) struct Need {
    /// Those the procedure names, best first.
    pub(super) named: Vec<String>,
    kind: Kind,
}

#[derive(Debug, Clone)]
enum Kind {
    /// A torque wrench at a joint: the window as the wrench must show it, and the torques of the passes.
    Wrench {
        window: Window,
        passes: Vec<Quantity>,
        rule: Option<Rule>,
    },
    /// A reading, judged or only recorded; the highest pressure of the test it belongs to.
    Reading {
        window: Option<Window>,
        unit: Unit,
        zero: bool,
        pressure: Option<Quantity>,
    },
    /// It stands beside, or only shows that energy is in: that it may be used at all is enough.
    Beside { pressure: Option<Quantity> },
}

impl Need {
    pub(super) fn zero(instrument: &str, window: &Window) -> Self {
        Self {
            named: vec![instrument.to_owned()],
            kind: Kind::Reading {
                window: Some(*window),
                unit: window.unit(),
                zero: true,
                pressure: None,
            },
        }
    }

    pub(super) fn beside(instrument: &str) -> Self {
        Self {
            named: vec![instrument.to_owned()],
            kind: Kind::Beside { pressure: None },
        }
    }

    /// A wrench at a joint; `only` it where one is in hand. The passes still to come must lie in its range, and with an
    /// adapter on window and passes are what the wrench shows.
    pub(super) fn wrench(joint: &Joint, only: Option<&str>, state: &JointState) -> Self {
        let adapter = state.adapter.as_ref();
        let done = (state.pass.max(1) as usize - 1).min(joint.passes.len());
        let shown = |torque: Quantity| match adapter {
            None => torque,
            Some(adapter) => adapter
                .setting(&torque, torque.decimal().decimals().saturating_add(3))
                .unwrap_or(torque),
        };
        let window = Window::new(
            joint.window.low().map(|low| shown(low).decimal()),
            joint.window.high().map(|high| shown(high).decimal()),
            joint.window.unit(),
            joint.window.reference(),
        );
        Self {
            named: only.map_or_else(|| joint.wrenches.clone(), |only| vec![only.to_owned()]),
            kind: Kind::Wrench {
                window: window.unwrap_or(joint.window),
                passes: joint.passes[done..].iter().copied().map(shown).collect(),
                rule: joint.rule,
            },
        }
    }
}

impl Rebuild {
    /// What the point wants of an instrument; none where it wants none.
    pub(super) fn need_at(&self, point: &Point) -> Option<Need> {
        match point {
            Point::Gate(part) => {
                let parts = self.zero_parts(&[]);
                self.need_of_part(*parts.get(*part as usize)?)
            }
            Point::LookAgain if !self.look_read => {
                self.need_of_part(*self.zero_parts(&[]).first()?)
            }
            Point::Begin(_) | Point::Act(_) => self.need_of_gauge(point),
            Point::Asked(step, ask, inner) => match self.asked(step, *ask)? {
                Asked::Done | Asked::Wait { .. } => self.need_of_gauge(point),
                Asked::Tighten { joint } => self.need_at_joint(joint, inner),
                Asked::Zero { by_vent } => {
                    let Inner::Line(line) = inner else {
                        return None;
                    };
                    let part = *self.zero_parts(by_vent).get(*line as usize)?;
                    self.need_of_part(part)
                }
                Asked::Reading(measured) if *inner == Inner::Beside => {
                    let (_, instrument) = measured.beside.as_ref()?;
                    Some(Need::beside(instrument))
                }
                Asked::Reading(measured) => self.need_of_reading(step, measured),
                _ => None,
            },
            _ => None,
        }
    }

    fn need_of_part(&self, part: ZeroPart<'_>) -> Option<Need> {
        let ZeroPart::Gauge(side) = part else {
            return None;
        };
        let zero = self.procedure.zero.iter().find(|zero| zero.id == side)?;
        Some(Need::zero(&zero.instrument, &zero.window))
    }

    fn need_at_joint(&self, joint: &str, inner: &Inner) -> Option<Need> {
        let written = &self.joint_now(joint)?;
        let state = self.joint_state(joint);
        match inner {
            Inner::Wrench | Inner::Numbered => Some(Need::wrench(written, None, &state)),
            Inner::Setting(_) | Inner::Fastener(..) => {
                let wrench = state.wrench.as_ref()?;
                Some(Need::wrench(written, Some(&wrench.id), &state))
            }
            Inner::Gap(number) => match &written.gap {
                Some(Gap::Spread { instrument, .. }) if *number <= 4 => {
                    Some(Need::beside(instrument))
                }
                Some(Gap::Closed { instrument, .. }) => Some(Need::beside(instrument)),
                _ => None,
            },
            _ => None,
        }
    }

    /// A step that lets energy in up to a pressure read on a gauge wants that gauge fit before anything is let in.
    fn need_of_gauge(&self, point: &Point) -> Option<Need> {
        let (Point::Begin(step) | Point::Act(step) | Point::Asked(step, ..)) = point else {
            return None;
        };
        let line = self.line(step)?;
        let first = match point {
            Point::Asked(_, ask, _) => {
                let acts = matches!(self.asked(step, *ask)?, Asked::Done | Asked::Wait { .. });
                acts && *ask == 0 && line.asks.first()?.rest.is_none()
            }
            _ => line.acted.is_none(),
        };
        let written = self.step_of(line).filter(|_| first)?;
        let gauge = written.does.iter().find_map(|deed| match deed {
            Deed::LetIn { gauge, .. } => gauge.as_ref(),
            _ => None,
        })?;
        Some(Need {
            named: vec![gauge.clone()],
            kind: Kind::Beside {
                pressure: self.test_pressure(gauge),
            },
        })
    }

    /// Before energy is let in for a test the gauge that it is read on must be fit.
    ///
    /// # Errors
    /// [`Work::InstrumentUnfit`].
    pub(super) fn gauge_fit(
        &self,
        register: &Register,
        stamp: &Stamp,
        point: &Point,
    ) -> Result<(), Refusal> {
        let Some(need) = self.need_of_gauge(point) else {
            return Ok(());
        };
        let gauge = need.named.first().map_or("", String::as_str);
        self.may_use(register, stamp, gauge, &need).map(|_| ())
    }

    pub(super) fn need_of_reading(&self, step: &str, measured: &Measured) -> Option<Need> {
        if measured.instruments.is_empty() {
            return None;
        }
        let written = self.line(step).and_then(|line| self.step_of(line));
        let test = written.is_some_and(|step| step.energy == EnergyState::Test);
        Some(Need {
            named: measured.instruments.clone(),
            kind: Kind::Reading {
                window: measured.window,
                unit: measured.unit,
                zero: measured.proves.is_some(),
                pressure: measured
                    .instruments
                    .first()
                    .filter(|_| test)
                    .and_then(|gauge| self.test_pressure(gauge)),
            },
        })
    }

    /// The highest pressure the procedure lets in while this gauge is read: lower ones on the way up are no test of their own.
    fn test_pressure(&self, gauge: &str) -> Option<Quantity> {
        let steps = self.lines.iter().filter_map(|line| self.step_of(line));
        steps
            .flat_map(|step| &step.does)
            .filter_map(|deed| match deed {
                Deed::LetIn {
                    pressure: Some(pressure),
                    gauge: Some(named),
                    ..
                } if named == gauge => Some(*pressure),
                _ => None,
            })
            .reduce(|high, next| {
                if next.cmp_exact(&high).is_ok_and(std::cmp::Ordering::is_gt) {
                    next
                } else {
                    high
                }
            })
    }

    /// Those that may be used, best first, and the others that the procedure names with what stands against each.
    pub(super) fn offered(&self, register: &Register, stamp: &Stamp, need: &Need) -> Offered {
        let mut fit: Vec<(f64, Offer)> = Vec::new();
        let mut unfit = Vec::new();
        for name in &need.named {
            let (against, share) = self.against(register, stamp, name, need);
            if against.is_empty() {
                let words = register.instrument(name).map_or_else(String::new, words_of);
                let id = name.clone();
                fit.push((share, Offer { id, words }));
            } else {
                unfit.push(NotOffered {
                    id: name.clone(),
                    against,
                });
            }
        }
        // Stable: where two are as good, the author's order stands.
        fit.sort_by(|one, other| one.0.total_cmp(&other.0));
        Offered {
            fit: fit.into_iter().map(|(_, offer)| offer).collect(),
            unfit,
        }
    }

    /// The instrument, if it may be used for this now.
    ///
    /// # Errors
    /// [`Work::InstrumentUnfit`] with every reason.
    pub(super) fn may_use<'r>(
        &self,
        register: &'r Register,
        stamp: &Stamp,
        name: &str,
        need: &Need,
    ) -> Result<&'r Instrument, Refusal> {
        let (against, _) = self.against(register, stamp, name, need);
        match register.instrument(name) {
            Some(instrument) if against.is_empty() => Ok(instrument),
            known => Err(Work::InstrumentUnfit {
                instrument: known.map_or_else(|| name.to_owned(), |known| known.id.clone()),
                against,
            }
            .into()),
        }
    }

    /// Everything against an instrument here and now, and its error as a share of the tolerance.
    fn against(
        &self,
        register: &Register,
        stamp: &Stamp,
        name: &str,
        need: &Need,
    ) -> (Vec<Against>, f64) {
        let Some(instrument) = register.instrument(name) else {
            return (vec![Against::NotOnRegister], f64::INFINITY);
        };
        let mut against = Vec::new();
        let named = need
            .named
            .iter()
            .any(|named| named.eq_ignore_ascii_case(name));
        if let Kind::Wrench { .. } = need.kind
            && !instrument.kind.is_wrench()
        {
            against.push(Against::WrongKind {
                is: instrument.kind.word(),
                wanted: "torque wrench",
            });
            return (against, f64::INFINITY);
        }
        if !named {
            against.push(Against::NotNamed {
                named: need.named.join(", "),
            });
        }
        against.extend(self.not_in_service(instrument));
        // A due date can only be held against a clock that is believed.
        if stamp.clock != Clock::Doubted
            && instrument.overdue_on(&local_day(&stamp.utc, &stamp.offset))
        {
            against.push(Against::Overdue {
                due: instrument.calibration.due.clone(),
            });
        }
        if let Some(booking) = register.booked(&instrument.id, self.head.stream) {
            against.push(Against::Booked {
                tag: booking.tag.clone(),
                joint: booking.joint.clone(),
            });
        }
        against.extend(without_uncertainty(register, instrument, &need.kind));
        let share = measured_against(instrument, &need.kind, &mut against);
        (against, share)
    }

    /// Quarantined by the register, or in this rebuild and not spoken of by the register since.
    fn not_in_service(&self, instrument: &Instrument) -> Option<Against> {
        let why = || instrument.out_of_service.clone().unwrap_or_default();
        match instrument.service {
            Service::Withdrawn => return Some(Against::Withdrawn { why: why() }),
            Service::Quarantined => return Some(Against::Quarantined { why: why() }),
            Service::InService => {}
        }
        let (why, known) = self.tools.quarantined.get(&instrument.id)?;
        (instrument.fact == *known).then(|| Against::Quarantined { why: why.clone() })
    }
}

/// A rule other than simple acceptance takes no reading of an instrument whose uncertainty nobody states. A setting that clicks is
/// no reading, and zero is judged by its limits.
fn without_uncertainty(
    register: &Register,
    instrument: &Instrument,
    kind: &Kind,
) -> Option<Against> {
    let own = match kind {
        Kind::Wrench { rule, .. } if instrument.kind != InstrumentKind::ClickWrench => *rule,
        Kind::Reading {
            window: Some(_),
            zero: false,
            ..
        } => None,
        _ => return None,
    };
    let ruling = Ruling::of(register, own);
    (!ruling.suits(instrument)).then(|| Against::NoUncertainty {
        rule: ruling.rule.to_string(),
    })
}

fn words_of(instrument: &Instrument) -> String {
    format!("{}, {}", instrument.kind, instrument.range)
}

/// Scale, range and error against what is wanted; the error as a share of the tolerance, nought where there is none.
fn measured_against(instrument: &Instrument, kind: &Kind, against: &mut Vec<Against>) -> f64 {
    let gauge = instrument
        .range
        .taking_reference(instrument.reference)
        .map_err(|why| why.to_string())
        .and_then(|range| {
            Gauge::new(
                instrument.kind,
                range,
                instrument.resolution,
                instrument.calibration.deviation,
            )
            .map_err(|why| why.to_string())
        });
    let gauge = match gauge {
        Ok(gauge) => gauge,
        Err(why) => {
            against.push(Against::NotJudged { why });
            return f64::INFINITY;
        }
    };
    let (pressure, window, zero) = match kind {
        Kind::Wrench { window, passes, .. } => {
            let share = against_window(&gauge, window, false, against);
            let ends = [window.low(), window.high()].into_iter().flatten();
            let usable = instrument.usable.or_else(|| gauge.usable().ok());
            let own = instrument.usable.is_some();
            // The window itself was held against the kind's own range; here against the site's narrower one, and the passes.
            let torques = ends.filter(|_| own).chain(passes.iter().copied());
            out_of(usable, torques, against);
            return share;
        }
        Kind::Beside { pressure } => (pressure, None, false),
        Kind::Reading {
            window,
            unit,
            zero,
            pressure,
        } => {
            if window.is_none() && gauge.unit().dimension() != unit.dimension() {
                against.push(Against::OtherQuantity {
                    reads: gauge.unit().dimension().words(),
                    wanted: unit.dimension().words(),
                });
            }
            (pressure, *window, *zero)
        }
    };
    if let Some(pressure) = pressure.filter(|_| instrument.kind == InstrumentKind::PressureGauge)
        && full_scale_suits(&gauge, &pressure).is_ok_and(|suits| !suits)
    {
        against.push(Against::FullScale {
            range: instrument.range,
            pressure,
        });
    }
    let Some(window) = window else { return 0.0 };
    let share = against_window(&gauge, &window, zero, against);
    if !zero {
        let ends = [window.low(), window.high()].into_iter().flatten();
        out_of(instrument.usable, ends, against);
    }
    share
}

/// Values outside the part that may be used, named once.
fn out_of(
    usable: Option<Window>,
    values: impl Iterator<Item = Quantity>,
    against: &mut Vec<Against>,
) {
    let Some(usable) = usable else { return };
    let named = against
        .iter()
        .any(|reason| matches!(reason, Against::OutOfRange { .. }));
    let outside = |value: &Quantity| {
        usable
            .judge(value)
            .is_ok_and(|judged| judged.place != Place::Within)
    };
    let mut values = values;
    if let Some(value) = values.find(outside).filter(|_| !named) {
        against.push(Against::OutOfRange {
            usable,
            wanted: value.to_string(),
        });
    }
}

/// The window against range and error. A quarter of the tolerance is asked where a value is judged. Two windows have none
/// to take a quarter of: a zero check, which is proved by gauge and vent together and where the gauge must only be finer
/// than the window is wide, and "none at all", whose only limit is nought.
fn against_window(gauge: &Gauge, window: &Window, zero: bool, against: &mut Vec<Against>) -> f64 {
    let judged = match fitness(gauge, window, Standing::default()) {
        Ok(judged) => judged,
        Err(why) => {
            against.push(Against::NotJudged {
                why: why.to_string(),
            });
            return f64::INFINITY;
        }
    };
    let nought = match (window.low(), window.high()) {
        (None, Some(only)) | (Some(only), None) => only.decimal().digits() == 0,
        _ => false,
    };
    for reason in judged.against {
        against.extend(match reason {
            Unfit::OtherKind { reads, wanted } => Some(Against::OtherQuantity { reads, wanted }),
            Unfit::OtherReference { reads, wanted } => {
                Some(Against::OtherReference { reads, wanted })
            }
            Unfit::OutOfRange { usable, window } => Some(Against::OutOfRange {
                usable,
                wanted: window.to_string(),
            }),
            Unfit::WindowTooNarrow { deviation, window } => {
                Some(Against::WindowNarrow { deviation, window })
            }
            Unfit::ErrorTooLarge { .. } if nought => None,
            Unfit::ErrorTooLarge { error, window } if zero => (judged.error_share >= 0.5)
                .then_some(Against::WindowNarrow {
                    deviation: error,
                    window,
                }),
            Unfit::ErrorTooLarge { error, window } => Some(Against::ErrorLarge { error, window }),
            // Standing is held against it by its own facts.
            Unfit::Quarantined | Unfit::Overdue | Unfit::BookedElsewhere => None,
        });
    }
    judged.error_share
}
