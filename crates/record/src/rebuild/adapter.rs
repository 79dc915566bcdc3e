//! A length-changing adapter on the wrench of a joint: what is dialled, and the torque at the nut that is judged.
//!
//! `S = T·L/(L + A·cos a)` (US Navy NAVEDTRA 14315; US Army TM 9-254). The technician states the lever of the wrench, the
//! adapter's length and its angle once; both numbers and both lengths stand in every setting and reading taken with it.

use reseat_measure::{Adapter, Decimal, Quantity, Window};
use reseat_procedure::model::{Asked, Joint};

use super::ask::Point;
use super::body::{self, AdapterOn, AdapterUse, Body};
use super::command::AdapterSaid;
use super::fitness::Need;
use super::state::{Mark, Rebuild};
use crate::log::Stamp;
use crate::refusal::{Refusal, Work};
use crate::register::Register;

/// Decimals of the torque at the nut beyond those that were read: far finer than any wrench.
const BEYOND: u8 = 4;

impl AdapterUse {
    /// The adapter as it was stated, with what the wrench showed.
    pub(super) fn of(adapter: &Adapter, showed: &Quantity) -> Self {
        Self {
            lever: adapter.lever().to_string(),
            length: adapter.length().to_string(),
            angle: adapter.angle().to_string(),
            showed: showed.to_string(),
        }
    }

    /// The adapter, where what is kept of it can be read.
    pub(crate) fn adapter(&self) -> Option<Adapter> {
        read(&self.lever, &self.length, &self.angle).ok()
    }

    /// What the wrench showed.
    pub(crate) fn showed(&self) -> Option<Quantity> {
        Quantity::parse(&self.showed).ok()
    }
}

/// Reads the three measures of an adapter.
pub(super) fn read(lever: &str, length: &str, angle: &str) -> Result<Adapter, Refusal> {
    let digits = |why: &dyn ToString| {
        Refusal::from(Work::Adapter {
            why: why.to_string(),
        })
    };
    let quantity = |text: &str| Quantity::parse(text).map_err(|why| digits(&why));
    let angle = if angle.trim().is_empty() {
        "0 deg"
    } else {
        angle
    };
    Adapter::new(quantity(lever)?, quantity(length)?, quantity(angle)?).map_err(|why| digits(&why))
}

/// The torque at the nut for what the wrench shows; what it shows itself where no adapter is on.
pub(crate) fn at_nut(adapter: Option<&Adapter>, shown: Quantity) -> Option<Quantity> {
    match adapter {
        None => Some(shown),
        Some(adapter) => adapter
            .torque_at_fastener(&shown, shown.decimal().decimals().saturating_add(BEYOND))
            .ok(),
    }
}

/// The mark of the wrench's scale that is nearest to the setting for a torque at the nut.
fn nearest_mark(adapter: &Adapter, torque: &Quantity, resolution: &Quantity) -> Option<Quantity> {
    let setting = adapter.setting(torque, 9).ok()?;
    let steps = setting.to_f64_in(resolution.unit()).ok()? / resolution.decimal().to_f64();
    #[expect(
        clippy::cast_possible_truncation,
        reason = "no scale has more marks than fit"
    )]
    let steps = steps.round() as i64;
    let step = resolution.decimal();
    let digits = step.digits().checked_mul(steps)?;
    let mark = Decimal::new(digits, step.decimals()).ok()?;
    Quantity::new(mark, resolution.unit(), None).ok()
}

/// What a click wrench with an adapter must be set to in a pass, as a window at the nut and in words: in the last pass the
/// joint's window, before it the pass's torque to within half a mark of the scale, since the setting rarely falls on one.
pub(super) fn setting_window(
    joint: &Joint,
    pass: u32,
    resolution: &Quantity,
    adapter: &Adapter,
) -> Option<(Window, String)> {
    let torque = joint.passes.get((pass as usize).checked_sub(1)?)?;
    let mark = nearest_mark(adapter, torque, resolution)?;
    if pass as usize == joint.passes.len() {
        let told = required_words(&mark, &joint.window);
        return Some((joint.window, told));
    }
    let half = resolution.to_f64_in(torque.unit()).ok()? * adapter.ratio() / 2.0;
    let wanted = torque.decimal().to_f64();
    // A hair wider, so that what lies halfway between two marks is not lost to the last digit.
    let end = |value: f64| Decimal::from_f64(value, 6).ok();
    let window = Window::new(
        Some(end(wanted - half - 1e-6)?),
        Some(end(wanted + half + 1e-6)?),
        torque.unit(),
        torque.reference(),
    );
    let told = required_words(&mark, torque);
    Some((window.ok()?, told))
}

/// What a setting through an adapter must be, in words.
fn required_words(mark: &Quantity, at_nut: &impl std::fmt::Display) -> String {
    format!("{mark} on the wrench, {at_nut} at the nut")
}

/// Both halves of such words: the mark on the wrench, and torque or window at the nut.
pub(crate) fn required_parts(words: &str) -> Option<(&str, &str)> {
    words
        .strip_suffix(" at the nut")?
        .split_once(" on the wrench, ")
}

impl Rebuild {
    /// An adapter goes on or comes off at the joint that is due; the wrench in hand must still reach the window with it.
    pub(super) fn decide_adapter(
        &self,
        register: &Register,
        stamp: &Stamp,
        said: Option<AdapterSaid>,
    ) -> Result<Body, Refusal> {
        let Point::Asked(step, ask, _) = self.due_point(register, stamp) else {
            return Err(Work::NoWrenchAtWork.into());
        };
        let Some(Asked::Tighten { joint }) = self.asked(&step, ask) else {
            return Err(Work::NoWrenchAtWork.into());
        };
        let adapter = said
            .map(|said| read(&said.lever, &said.length, &said.angle))
            .transpose()?;
        let mut state = self.joint_state(joint).into_owned();
        state.adapter = adapter;
        if let (Some(wrench), Some(now)) = (&state.wrench, self.joint_now(joint)) {
            let need = Need::wrench(&now, Some(&wrench.id), &state);
            self.may_use(register, stamp, &wrench.id, &need)?;
        }
        let text = |of: fn(&Adapter) -> Quantity| adapter.as_ref().map(|one| of(one).to_string());
        Ok(AdapterOn {
            step: step.clone(),
            joint: joint.clone(),
            lever: text(Adapter::lever),
            length: text(Adapter::length),
            angle: text(Adapter::angle),
        }
        .into())
    }

    /// What was dialled without it, or with another, holds no longer for the pass under way.
    pub(super) fn carry_adapter(&mut self, body: &AdapterOn, mark: &Mark) {
        self.touch(&body.step, mark);
        let adapter = match (&body.lever, &body.length, &body.angle) {
            (Some(lever), Some(length), Some(angle)) => read(lever, length, angle).ok(),
            _ => None,
        };
        let state = self.joints.entry(body.joint.clone()).or_default();
        state.adapter = adapter;
        state.settings.remove(&state.pass);
    }

    /// With an adapter on: what the wrench shows at the torque of a pass, and a sentence that names both.
    pub(super) fn adapter_words(&self, joint: &Joint, pass: u32) -> Option<(Quantity, String)> {
        let state = self.joint_state(&joint.id);
        let (adapter, wrench) = (state.adapter?, state.wrench.as_ref()?);
        let torque = joint.passes.get((pass as usize).checked_sub(1)?)?;
        let resolution = Quantity::parse(&wrench.resolution).ok()?;
        let mark = nearest_mark(&adapter, torque, &resolution)?;
        let told = format!(
            "Adapter on ({}, {} more at {}): {torque} at the nut is {mark} on {}.",
            adapter.lever(),
            adapter.length(),
            adapter.angle(),
            wrench.id
        );
        Some((mark, told))
    }
}

/// An adapter entry in words.
pub(super) fn words(body: &body::AdapterOn) -> String {
    match (&body.lever, &body.length, &body.angle) {
        (Some(lever), Some(length), Some(angle)) => format!(
            "{}: adapter on the wrench, lever {lever}, adapter {length} at {angle}",
            body.joint
        ),
        _ => format!("{}: adapter off the wrench", body.joint),
    }
}
