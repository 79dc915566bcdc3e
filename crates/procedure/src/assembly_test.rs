//! What acts of a test make of the assembly: chambers filled and under pressure, drains on them, tests done.

use reseat_measure::Quantity;

use crate::assembly::{Assembly, Fault, State};
use crate::codes;
use crate::model::{Point, PointKind, Positions, Wanted};

impl<'p> Assembly<'p> {
    /// The first drain that lies on a chamber and stands open.
    fn open_drain(&self, state: &State, chamber: &str) -> Option<&'p Point> {
        let mut points = self.procedure.points.iter().zip(&state.points);
        let open = points.find(|(point, now)| {
            point.kind == PointKind::Drain
                && now.isolated
                && point.drains.iter().any(|on| on == chamber)
        });
        open.map(|(point, _)| point)
    }

    /// A drain is no way out for a chamber under pressure: it is vented first.
    pub(crate) fn drain_opened(&self, state: &State, at: usize, faults: &mut Vec<Fault>) {
        let point = &self.procedure.points[at];
        let under = state
            .let_in
            .iter()
            .find(|(chamber, pressure)| pressure.is_some() && point.drains.contains(chamber));
        if let (PointKind::Drain, Some((chamber, Some(pressure)))) = (point.kind, under) {
            let message = format!("{} is opened while {chamber} holds {pressure}.", point.id);
            faults.push(Fault::new(
                codes::DRAIN_UNDER_PRESSURE,
                message,
                "Vent the chamber first, in an earlier step.",
            ));
        }
    }

    /// Energy let in voids zero on every side; a lower pressure needs a vent between.
    pub(crate) fn let_in(
        &self,
        state: &mut State,
        chamber: &str,
        pressure: Option<&Quantity>,
        faults: &mut Vec<Fault>,
    ) {
        state.proved.iter_mut().for_each(|side| *side = false);
        self.fill(state, chamber, pressure, faults);
        if let (Some(drain), Some(now)) = (self.open_drain(state, chamber), pressure) {
            let message = format!("{now} goes into {chamber} while {} is open.", drain.id);
            faults.push(Fault::new(
                codes::DRAIN_OPEN_IN_TEST,
                message,
                "Shut the drain in an earlier step.",
            ));
        }
        let Some(inside) = state
            .let_in
            .iter_mut()
            .find(|(inside, _)| inside == chamber)
        else {
            state.let_in.push((chamber.to_owned(), pressure.copied()));
            return;
        };
        if let (Some(before), Some(now)) = (&inside.1, pressure)
            && now.cmp_exact(before).is_ok_and(std::cmp::Ordering::is_lt)
        {
            let message = format!("{now} goes into {chamber}, which still holds {before}.");
            faults.push(Fault::new(
                codes::PRESSURE_FALLS,
                message,
                "Vent before a lower stage.",
            ));
        }
        if let Some(now) = pressure {
            inside.1 = Some(*now);
        }
    }

    /// Liquid goes in through an open high point before there is pressure; air left in stores energy and hides a leak.
    fn fill(
        &self,
        state: &mut State,
        chamber: &str,
        pressure: Option<&Quantity>,
        faults: &mut Vec<Fault>,
    ) {
        let mut chambers = self.procedure.chambers.iter().enumerate();
        let Some((at, written)) = chambers.find(|(_, known)| known.id == chamber) else {
            return;
        };
        let Some(through) = written.fill_through.as_deref() else {
            return;
        };
        let open = self
            .points
            .get(through)
            .is_some_and(|point| state.points[*point].isolated);
        let message = match pressure {
            _ if state.filled[at] => None,
            None if open => None,
            None => Some(format!("{chamber} is filled while {through} is shut.")),
            Some(now) => Some(format!(
                "{now} goes into {chamber} before it is filled through {through}."
            )),
        };
        state.filled[at] = true;
        if let Some(message) = message {
            faults.push(Fault::new(
                codes::AIR_LEFT_IN,
                message,
                "Fill until liquid runs without air from the open high point, then shut it.",
            ));
        }
    }

    /// Points as what is done wants them; one that a route does not have is not looked at.
    pub(crate) fn stand(
        &self,
        state: &State,
        wanted: &Positions,
        what: &str,
        faults: &mut Vec<Fault>,
    ) {
        let open = |name: &String| -> Option<bool> {
            let at = *self.points.get(name.as_str())?;
            // A drain counts as isolated while it stays open, a source while it is shut.
            Some(match self.procedure.points[at].kind {
                PointKind::Drain => state.points[at].isolated,
                PointKind::Isolating => !state.points[at].isolated,
            })
        };
        let not_so = |names: &[String], so: bool| -> Vec<String> {
            let wrong = names.iter().filter(|name| open(name) == Some(!so));
            wrong.cloned().collect()
        };
        let mut say = |names: Vec<String>, now: &str, act: &str| {
            for name in names {
                faults.push(Fault::new(
                    codes::POINT_STANDS_WRONG,
                    format!("{what} while {name} is {now}."),
                    act,
                ));
            }
        };
        say(
            not_so(&wanted.open, true),
            "shut",
            "Open it in an earlier step; it is wanted open here.",
        );
        say(
            not_so(&wanted.shut, false),
            "open",
            "Shut it in an earlier step; it is wanted shut here.",
        );
    }

    /// A test of those wanted: what it needs is in, and the points stand as it wants them.
    pub(crate) fn run(&self, state: &mut State, test: &str, faults: &mut Vec<Fault>) {
        let mut tests = self.procedure.tests.iter().enumerate();
        let Some((at, wanted)) = tests.find(|(_, wanted)| wanted.id == test) else {
            let message = format!("With these options there is no test {test}.");
            faults.push(Fault::new(
                codes::TEST_NOT_ON_ROUTE,
                message,
                "Give the test or the step the same condition.",
            ));
            return;
        };
        let inside = |name: &String| state.let_in.iter().any(|(inside, _)| inside == name);
        below(state, wanted, faults);
        let needed = wanted.needs.iter();
        let mut needed = needed.chain(wanted.at.iter().map(|(chamber, _)| chamber));
        if let Some(missing) = needed.find(|name| !inside(name)) {
            let message = format!("The test {test} is done while nothing is in {missing}.");
            faults.push(Fault::new(
                codes::TEST_WITHOUT_ENERGY,
                message,
                "Let it in first, vent it afterwards.",
            ));
        }
        self.stand(
            state,
            &wanted.points,
            &format!("The test {test} is done"),
            faults,
        );
        state.run[at] = true;
    }

    /// A test proves the joints of each chamber that has its pressure in.
    pub(crate) fn test(&self, state: &mut State, faults: &mut Vec<Fault>) {
        if state.let_in.is_empty() {
            let message = "A test is written where nothing is let in.";
            faults.push(Fault::new(
                codes::TEST_WITHOUT_ENERGY,
                message,
                "Let the pressure in first, vent it afterwards.",
            ));
        }
        for (chamber, pressure) in &state.let_in {
            let wanted = self
                .procedure
                .chambers
                .iter()
                .find(|known| known.id == *chamber)
                .and_then(|known| known.test);
            let reached = match (wanted, pressure) {
                (None, _) => true,
                (Some(_), None) => false,
                (Some(wanted), Some(pressure)) => pressure
                    .cmp_exact(&wanted)
                    .is_ok_and(std::cmp::Ordering::is_ge),
            };
            for (joint, now) in self.procedure.joints.iter().zip(&mut state.joints) {
                now.tested |= reached && joint.boundary.as_deref() == Some(chamber);
            }
        }
    }

    /// A joint that comes loose again takes with it what was filled and tested behind it.
    pub(crate) fn void_tests(&self, state: &mut State, boundary: Option<&str>) {
        let Some(boundary) = boundary else { return };
        for (written, filled) in self.procedure.chambers.iter().zip(&mut state.filled) {
            *filled &= written.id != boundary;
        }
        for (written, run) in self.procedure.tests.iter().zip(&mut state.run) {
            *run &= !written.needs.iter().any(|name| name == boundary);
        }
    }
}

/// A test done at less pressure than it wants; where nothing is in, that is said instead.
fn below(state: &State, wanted: &Wanted, faults: &mut Vec<Fault>) {
    for (chamber, at) in &wanted.at {
        let Some((_, held)) = state.let_in.iter().find(|(inside, _)| inside == chamber) else {
            continue;
        };
        let holds = match held {
            Some(held) if held.cmp_exact(at).is_ok_and(std::cmp::Ordering::is_ge) => continue,
            Some(held) => held.to_string(),
            None => "no pressure that is written".to_owned(),
        };
        let message = format!(
            "The test {} is done while {chamber} holds {holds}; it wants {at}.",
            wanted.id
        );
        let remedy = format!("Raise {chamber} to {at} in an earlier step.");
        faults.push(Fault::new(codes::TEST_BELOW_PRESSURE, message, remedy));
    }
}
