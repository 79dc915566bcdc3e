//! What acts at the unit make of parts: taking apart, looking over, putting together; and what every hands-on act needs.

use crate::assembly::{Assembly, Fault, PartState, State};
use crate::codes;
use crate::model::{EnergyKind, Part, Pattern, Point, PointKind};

impl Assembly<'_> {
    /// What every hands-on act needs: no test energy in, own locks on, stored energy relieved.
    pub(crate) fn hands_on(&self, state: &State, what: &str, faults: &mut Vec<Fault>) {
        if let Some((inside, _)) = state.let_in.first() {
            let message = format!("{what} is worked on while test energy is in {inside}.");
            faults.push(Fault::new(
                codes::HANDS_ON_UNDER_TEST,
                message,
                "Vent and prove zero before this step.",
            ));
        }
        if !state.own_locks {
            let message = format!("{what} is worked on before the workers' own locks are on.");
            faults.push(Fault::new(
                codes::OWN_LOCKS_MISSING,
                message,
                "Ask for own locks in an earlier step.",
            ));
        }
        let stored = |kind: EnergyKind| {
            matches!(
                kind,
                EnergyKind::Spring | EnergyKind::Trapped | EnergyKind::Gravity | EnergyKind::Heat
            )
        };
        // A source that a drain lets out and no side of the zero check reads has its release alone to show for it.
        let unread = |id: &str| {
            let drain = |point: &Point| point.kind == PointKind::Drain && point.energy == id;
            self.procedure.points.iter().any(drain)
                && !self.procedure.zero.iter().any(|side| side.energy == id)
        };
        let held = self
            .procedure
            .energies
            .iter()
            .zip(&state.released)
            .find(|(energy, out)| !**out && (stored(energy.kind) || unread(&energy.id)));
        if let Some((energy, _)) = held {
            let message = format!("{what} is worked on before {} is released.", energy.id);
            faults.push(Fault::new(
                codes::ENERGY_NOT_RELEASED,
                message,
                "Release stored energy in the make-safe section.",
            ));
        }
    }

    /// What opening needs besides: every source locked, every side proved since, and released by the role named.
    pub(crate) fn zero(&self, state: &State, what: &str, faults: &mut Vec<Fault>) {
        if let Some(point) = self.unlocked_point(state, None) {
            let message = format!("{what} is opened before {point} is isolated and locked.");
            faults.push(Fault::new(
                codes::OPENED_BEFORE_LOCKED,
                message,
                "Isolate and lock every source first.",
            ));
        }
        if let Some(drain) = self.shut_again(state) {
            let message = format!("{what} is opened while {drain} is shut again.");
            faults.push(Fault::new(
                codes::DRAIN_SHUT,
                message,
                "Open the drain again before this step: what leaks past the isolation collects behind it.",
            ));
        }
        // After the first release a stale zero is asked anew by the program, as a gate of its own.
        if let Some((side, _)) = self
            .procedure
            .zero
            .iter()
            .zip(&state.proved)
            .find(|(_, proved)| !**proved)
            && !state.zero_released
        {
            let message = format!("{what} is opened before zero is proved on {}.", side.id);
            faults.push(Fault::new(
                codes::OPENED_UNDER_PRESSURE,
                message,
                "Prove zero on every side before this step.",
            ));
        } else if !state.zero_released {
            let message = format!("{what} is opened before the proof of zero is released.");
            faults.push(Fault::new(
                codes::ZERO_NOT_RELEASED,
                message,
                "Write a hold that proves every side before this step.",
            ));
        }
    }

    pub(crate) fn off(&self, state: &mut State, part: &str, count: u32, faults: &mut Vec<Fault>) {
        let Some(at) = self.part(part) else {
            faults.push(no_part(part));
            return;
        };
        if !self.procedure.parts[at].long_tool {
            self.hands_on(state, part, faults);
            self.zero(state, part, faults);
        }
        self.covered(state, at, "comes off", faults);
        for joint in &self.clamped_by[at] {
            let (written, now) = (&self.procedure.joints[*joint], &state.joints[*joint]);
            let held = if written.pattern == Pattern::Single {
                !now.slack
            } else {
                now.fastened
            };
            if held {
                let message = format!("{part} comes off while {} still holds it.", written.id);
                faults.push(Fault::new(
                    codes::PART_STILL_CLAMPED,
                    message,
                    "Take the fasteners off in an earlier step.",
                ));
            }
        }
        let now = &mut state.parts[at];
        if count > now.on {
            let message = format!("{count} of {part} come off, but {} are on.", now.on);
            faults.push(Fault::new(
                codes::PART_NOT_ON,
                message,
                "Take off what is on, once.",
            ));
        }
        now.on = now.on.saturating_sub(count);
        now.off = now.off.saturating_add(count);
        (now.cleaned, now.verified, now.seen, now.lubricated) = (false, false, false, false);
        now.inspected = 0;
    }

    pub(crate) fn on(&self, state: &mut State, part: &str, count: u32, faults: &mut Vec<Fault>) {
        let Some(at) = self.part(part) else {
            faults.push(no_part(part));
            return;
        };
        if !self.procedure.parts[at].long_tool {
            self.hands_on(state, part, faults);
        }
        self.covered(state, at, "goes on", faults);
        self.hides_unverified(state, at, faults);
        for joint in &self.clamped_by[at] {
            let (written, now) = (&self.procedure.joints[*joint], &state.joints[*joint]);
            if now.fastened && written.pattern != Pattern::Single {
                let message = format!(
                    "{part} goes on while the fasteners of {} are on.",
                    written.id
                );
                faults.push(Fault::new(
                    codes::PART_STILL_CLAMPED,
                    message,
                    "Fit it before the fasteners.",
                ));
            }
        }
        self.prepared(state, at, faults);
        let written = &self.procedure.parts[at];
        let now = &mut state.parts[at];
        pieces_fit(written, now, count, faults);
        if written.single_use && !written.from_kit {
            let message = format!("{part} is single-use, but the kit has no new one.");
            faults.push(Fault::new(
                codes::SINGLE_USE_REFITTED,
                message,
                "Put a new one on the kit list, or say that it may be used again.",
            ));
        }
        if !written.single_use && now.off > 0 && !now.cleaned {
            let message = format!("{part} goes on again without having been cleaned.");
            faults.push(Fault::new(
                codes::NOT_CLEANED,
                message,
                "Write the step that cleans it.",
            ));
        }
        now.on = now.on.saturating_add(count).min(written.count);
        now.fitted = now.fitted.saturating_add(count);
        (now.verified, now.seen) = (false, false);
    }

    pub(crate) fn inspect(&self, state: &mut State, parts: &[String], faults: &mut Vec<Fault>) {
        for part in parts {
            match self.part(part) {
                Some(at) => {
                    let inspected = &mut state.parts[at].inspected;
                    *inspected = inspected.saturating_add(1);
                }
                None => faults.push(no_part(part)),
            }
        }
    }

    /// What a part wants before it goes on: its inspections, its lubricant, and the covers that spare it.
    fn prepared(&self, state: &State, at: usize, faults: &mut Vec<Fault>) {
        let (written, now) = (&self.procedure.parts[at], state.parts[at]);
        if now.off > 0 && now.inspected < written.inspections {
            let message = format!(
                "{} goes on after {} of {} inspections since it came off.",
                written.id, now.inspected, written.inspections
            );
            faults.push(Fault::new(
                codes::NOT_INSPECTED,
                message,
                "Write the step that measures it or looks it over, with inspect; one step for each limit.",
            ));
        }
        if let (Some(lubricant), false, true) = (&written.lubricant, now.lubricated, now.off > 0) {
            let message = format!("{} goes on before {lubricant} is on it.", written.id);
            faults.push(Fault::new(
                codes::LUBRICANT_MISSING,
                message,
                "Put the lubricant on first; a soft part fitted dry is cut or twists.",
            ));
        }
        let off = |name: &&String| {
            self.cover_index(name)
                .is_some_and(|cover| !state.covers[cover])
        };
        if let Some(cover) = written.spared_by.iter().find(off) {
            let message = format!("{} goes on while {cover} is not on.", written.id);
            faults.push(Fault::new(
                codes::COVER_MISSING,
                message,
                "Put the cover on first.",
            ));
        }
    }

    /// What lies over a part now: a part or a cover by name.
    fn lies_over(&self, state: &State, at: usize) -> Option<&str> {
        self.is_on(state, &self.procedure.parts[at].under)
    }

    /// The first of these parts and covers that is on.
    pub(crate) fn is_on<'n>(&self, state: &State, names: &'n [String]) -> Option<&'n str> {
        names.iter().map(String::as_str).find(|name| {
            match (self.part(name), self.cover_index(name)) {
                (Some(part), _) => state.parts[part].on > 0,
                (None, Some(cover)) => state.covers[cover],
                (None, None) => false,
            }
        })
    }

    fn covered(&self, state: &State, at: usize, what: &str, faults: &mut Vec<Fault>) {
        if let Some(over) = self.lies_over(state, at) {
            let message = format!("{} {what} while {over} is on.", self.procedure.parts[at].id);
            faults.push(Fault::new(
                codes::PART_COVERED,
                message,
                "Change the order, or what lies under what.",
            ));
        }
    }

    /// Soft and oriented parts are looked at before this one hides them.
    fn hides_unverified(&self, state: &State, at: usize, faults: &mut Vec<Fault>) {
        let name = &self.procedure.parts[at].id;
        for hidden in self.part_indexes() {
            let (written, now) = (&self.procedure.parts[hidden], state.parts[hidden]);
            if (written.from_kit || written.oriented)
                && now.fitted > 0
                && !now.verified
                && written.under.contains(name)
            {
                let message = format!("{name} hides {}, which nobody has verified.", written.id);
                faults.push(Fault::new(
                    codes::HIDDEN_UNVERIFIED,
                    message,
                    "Verify it, or ask its orientation, before this step.",
                ));
            }
        }
    }

    pub(crate) fn verify(&self, state: &mut State, parts: &[String], faults: &mut Vec<Fault>) {
        for part in parts {
            let Some(at) = self.part(part) else {
                faults.push(no_part(part));
                continue;
            };
            if state.parts[at].on < self.procedure.parts[at].count {
                let message = format!("{part} is verified before it is fitted.");
                faults.push(Fault::new(
                    codes::VERIFIED_TOO_EARLY,
                    message,
                    "Verify it between its fitting and what hides it.",
                ));
            }
            if let Some(over) = self.lies_over(state, at) {
                let message = format!("{part} is verified after {over} hides it.");
                faults.push(Fault::new(
                    codes::VERIFIED_HIDDEN,
                    message,
                    "Verify it before what hides it goes on.",
                ));
            }
            (state.parts[at].verified, state.parts[at].seen) = (true, true);
        }
    }

    /// Soft parts get what suits their rubber, before they are fitted.
    pub(crate) fn lubricate_parts(
        &self,
        state: &mut State,
        parts: &[String],
        with: &str,
        faults: &mut Vec<Fault>,
    ) {
        let never_on = self
            .procedure
            .consumables
            .iter()
            .find(|item| item.id == with)
            .map_or(&[][..], |item| &item.never_on);
        for part in parts {
            let Some(at) = self.part(part) else {
                faults.push(no_part(part));
                continue;
            };
            let written = &self.procedure.parts[at];
            if state.parts[at].on > 0 {
                let message = format!("{part} gets {with} after it is fitted.");
                faults.push(Fault::new(
                    codes::LUBRICANT_LATE,
                    message,
                    "Lubricate before the fitting.",
                ));
            }
            if let Some(rubber) = written
                .elastomer
                .as_ref()
                .filter(|rubber| never_on.contains(rubber))
            {
                let message = format!("{part} is {rubber}; {with} must never touch {rubber}.");
                faults.push(Fault::new(
                    codes::LUBRICANT_WRONG,
                    message,
                    "Write a lubricant that suits the rubber.",
                ));
            }
            if let Some(own) = written.lubricant.as_ref().filter(|own| *own != with) {
                let message = format!("{part} gets {with}; {own} is written for it.");
                let remedy = format!("Name {own} in this step, or {with} at the part.");
                faults.push(Fault::new(codes::LUBRICANT_WRONG, message, remedy));
            }
            state.parts[at].lubricated = true;
        }
    }
}

/// Pieces go on that came off, and no more than the unit has.
fn pieces_fit(written: &Part, now: &PartState, count: u32, faults: &mut Vec<Fault>) {
    let part = &written.id;
    if now.off == 0 {
        let message = format!("{part} is fitted, but was never taken off.");
        faults.push(Fault::new(
            codes::PART_NEVER_OFF,
            message,
            "Take it off first, or leave this out.",
        ));
    } else if now.on == written.count {
        let message = format!("{part} is fitted twice.");
        faults.push(Fault::new(
            codes::PART_FITTED_TWICE,
            message,
            "Leave one of the two out.",
        ));
    } else if now.on.saturating_add(count) > written.count {
        let message = format!(
            "{count} of {part} go on; then {} of {} are on.",
            now.on.saturating_add(count),
            written.count
        );
        faults.push(Fault::new(
            codes::COUNT_DIFFERS,
            message,
            "Make the pieces fitted as many as the unit has.",
        ));
    }
}

fn no_part(part: &str) -> Fault {
    let message = format!("With these options there is no {part}.");
    Fault::new(
        codes::PART_NOT_ON_ROUTE,
        message,
        "Give the part or the step the same condition.",
    )
}
