//! Which wrench a rebuild has in hand at a joint, and what it means to lay one down.
//!
//! An instrument is booked to one joint at a time. The program hands what other open rebuilds hold to the register
//! ([`Register::set_bookings`](crate::register::Register::set_bookings)), since a rebuild knows nothing of another.

use super::ask::Inner;
use super::body::Ready;
use super::joint;
use super::state::{Mark, Rebuild};
use crate::register::Booking;

impl Rebuild {
    /// The instruments this rebuild holds: the wrench of each joint that is begun and not closed. None once it has ended.
    #[must_use]
    pub fn booked(&self) -> Vec<Booking> {
        if self.ended.is_some() {
            return Vec::new();
        }
        let at_work = self
            .joints
            .iter()
            .filter(|(id, _)| !self.tightening_closed(id));
        at_work
            .filter_map(|(id, state)| {
                Some(Booking {
                    instrument: state.wrench.as_ref()?.id.clone(),
                    stream: self.head.stream,
                    tag: self.started.place_tag.clone(),
                    joint: id.clone(),
                })
            })
            .collect()
    }

    /// A wrench is in hand at a joint. In the middle of one the passes done stand, and a click wrench is set anew.
    pub(super) fn carry_ready(&mut self, body: &Ready, mark: &Mark) {
        self.touch(&body.step, mark);
        let state = self.joints.entry(body.joint.clone()).or_default();
        if state.under_way() {
            let told = format!("{} in hand from here", body.instrument.id);
            state.lines.push(told);
            if state.wrench.is_none() {
                // What was said of the one put aside is over.
                state.again = None;
            }
            state.settings.remove(&state.pass);
            state.adapter = None;
            state.set_back = false;
        } else {
            state.pass = 1;
        }
        state.wrench = Some(body.instrument.clone());
        state.loose = true;
    }

    /// The instrument leaves the joints it is at: another wrench is asked there, or, where it only had to be set back, none.
    pub(super) fn wrench_out_of_hand(&mut self, id: &str, mark: &Mark) {
        let held: Vec<String> = self
            .booked()
            .into_iter()
            .filter(|booking| booking.instrument == id)
            .map(|booking| booking.joint)
            .collect();
        for joint in held {
            let last = self.joint(&joint).map(|written| {
                joint::due(written, &self.joint_state(&joint)) == Some(Inner::SetBack)
            });
            let state = self.joints.entry(joint.clone()).or_default();
            if last == Some(true) {
                state.set_back = true;
                self.close_joint_if_done(&joint, mark);
            } else {
                state.wrench = None;
                state.again = Some(format!(
                    "{id} was put aside at {joint}; another wrench goes on from here."
                ));
            }
        }
    }
}
