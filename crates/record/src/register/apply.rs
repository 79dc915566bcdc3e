//! An entry folded into the state. No rule is repeated here: what is written has happened.

use super::{
    Approval, Body, Certified, ClashOf, EntryNamed, Fact, Founded, InDoubt, Instrument,
    LOOK_AGAIN_MINUTES, PAUSE_MINUTES, Person, Place, Register, SHIFT_HOURS, Said, Service, Site,
    Standing, Unit, ZERO_MINUTES,
};
use reseat_measure::rule::Rule;

use crate::log::{Clock, Damage, Entry, Id, Sealed};
use crate::text::folded;

/// What an entry changes on an instrument.
type Change = Box<dyn FnOnce(&mut Instrument)>;

impl Register {
    /// Folds an entry into the state. An entry of a kind or with a member not known here is kept as "written by a newer
    /// reseat": from then on only the head moves.
    ///
    /// # Errors
    /// [`Damage`] if the entry does not follow the head; the state is then as before.
    pub fn apply(&mut self, sealed: &Sealed) -> Result<(), Damage> {
        sealed.follows(&self.head)?;
        let entry = &sealed.entry;
        self.head = sealed.head();
        self.hashes.push(sealed.hash);
        if entry.number == 1 {
            self.home = Some(entry.home);
            self.demo = entry.demo;
        }
        if self.newer.is_some() {
            return Ok(());
        }
        let known = if entry.beyond.is_empty() {
            Body::read(&entry.kind, &entry.body)
        } else {
            None
        };
        let Some(body) = known else {
            self.newer = Some((entry.number, entry.kind.clone()));
            return Ok(());
        };
        if entry.clock == Clock::Trusted
            && self.floor.as_ref().is_none_or(|floor| *floor < entry.utc)
        {
            self.floor = Some(entry.utc.clone());
        }
        let fact = Fact {
            register: entry.stream,
            number: entry.number,
            hash: sealed.hash,
        };
        self.fold(body, entry, fact);
        Ok(())
    }

    fn fold(&mut self, body: Body, entry: &Entry, fact: Fact) {
        match body {
            Body::Founded(_)
            | Body::Enrolled(_)
            | Body::RolesGiven(_)
            | Body::Retired(_)
            | Body::TakenOnAgain(_)
            | Body::KeyChanged(_)
            | Body::SiteValues(_)
            | Body::DecisionRule(_) => self.fold_people(body, fact),
            Body::PlaceAdded(_)
            | Body::PlaceChanged(_)
            | Body::UnitAdded(_)
            | Body::UnitChanged(_)
            | Body::Fitted(_)
            | Body::Removed(_) => self.fold_plant(body, fact),
            Body::InstrumentAdded(_)
            | Body::CalibrationRenewed(_)
            | Body::DayChecked(_)
            | Body::Quarantined(_)
            | Body::Returned(_)
            | Body::Withdrawn(_) => self.fold_instrument(body, entry, fact),
            Body::Approved(_) | Body::Superseded(_) => self.fold_approval(body, fact),
            Body::ClockAgreed(agreed) => self.agreed_day = Some(agreed.day),
            Body::ClockGiven(clock) => self.floor = Some(clock.given),
            Body::RanOn(run) => {
                self.ran_on_seconds = self.ran_on_seconds.saturating_add(run.seconds);
            }
            Body::Recall(recall) => {
                let instrument = recall.instrument;
                for rebuild in &recall.rebuilds {
                    let mut readings: Vec<_> = rebuild.readings().collect();
                    readings.sort_unstable_by_key(|(number, _)| *number);
                    self.in_doubt
                        .extend(readings.into_iter().map(|(number, place)| InDoubt {
                            instrument: instrument.clone(),
                            stream: rebuild.stream,
                            number,
                            place,
                            fact,
                        }));
                }
            }
            Body::Remark(remark) => {
                self.say(entry, fact, remark.text, remark.of, None, false);
            }
            Body::Amended(amended) => {
                self.say(
                    entry,
                    fact,
                    amended.text,
                    Some(amended.of),
                    amended.answers,
                    true,
                );
            }
        }
    }

    fn say(
        &mut self,
        entry: &Entry,
        fact: Fact,
        text: String,
        of: Option<EntryNamed>,
        answers: Option<String>,
        amendment: bool,
    ) {
        self.said.push(Said {
            by: entry.by,
            utc: entry.utc.clone(),
            text,
            of,
            answers,
            amendment,
            fact,
        });
    }

    fn fold_approval(&mut self, body: Body, fact: Fact) {
        match body {
            Body::Approved(approved) => {
                for earlier in self
                    .approvals
                    .iter_mut()
                    .filter(|earlier| earlier.number == approved.number)
                {
                    earlier.superseded = true;
                }
                self.approvals.push(Approval {
                    number: approved.number,
                    revision: approved.revision,
                    sha256: approved.sha256,
                    author: approved.author,
                    approver: approved.approver,
                    walked_by: approved.walked_by,
                    walked_on: approved.walked_on,
                    read: approved.read,
                    superseded: false,
                    fact,
                });
            }
            Body::Superseded(said) => {
                let meant = |approval: &&mut Approval| {
                    approval.number == said.number
                        && approval.revision == said.revision
                        && approval.sha256 == said.sha256
                };
                for approval in self.approvals.iter_mut().filter(meant) {
                    approval.superseded = true;
                }
            }
            _ => {}
        }
    }

    fn fold_people(&mut self, body: Body, fact: Fact) {
        match body {
            Body::Founded(founded) => self.site_founded(founded, fact),
            Body::Enrolled(enrolled) => {
                let standing = Standing {
                    from: fact.number,
                    roles: enrolled.roles.0,
                    key: enrolled.key.0,
                    retired: false,
                };
                self.enrol(enrolled.person, enrolled.name, standing, fact);
            }
            Body::RolesGiven(given) => self.restand(given.person, fact, |standing| {
                standing.roles = given.roles.0;
            }),
            Body::Retired(retired) => {
                self.restand(retired.person, fact, |standing| standing.retired = true);
            }
            Body::TakenOnAgain(again) => self.restand(again.person, fact, |standing| {
                standing.roles = again.roles.0;
                standing.key = again.key.0;
                standing.retired = false;
            }),
            Body::KeyChanged(changed) => self.restand(changed.person, fact, |standing| {
                standing.key = changed.key.0;
            }),
            Body::SiteValues(values) => {
                if let Some(site) = &mut self.site {
                    site.rule = values.rule;
                    site.pause_minutes = values.pause_minutes;
                    site.zero_minutes = values.zero_minutes;
                    site.look_again_minutes = values.look_again_minutes;
                    site.shift_hours = values.shift_hours;
                    site.day_checks = values.day_checks;
                    site.left_states.clone_from(&values.left_states);
                    site.fact = fact;
                }
            }
            Body::DecisionRule(said) => {
                if let Some(site) = &mut self.site {
                    site.decision_rule = said.rule;
                    site.ruled = Some(fact);
                    site.rulings.push((fact, said.rule));
                }
            }
            _ => {}
        }
    }

    /// The site with the values it begins with, and its first lead.
    fn site_founded(&mut self, founded: Founded, fact: Fact) {
        self.site = Some(Site {
            name: founded.site,
            rule: founded.rule,
            public_key: founded.site_key.0,
            pause_minutes: PAUSE_MINUTES,
            zero_minutes: ZERO_MINUTES,
            look_again_minutes: LOOK_AGAIN_MINUTES,
            shift_hours: SHIFT_HOURS,
            day_checks: false,
            left_states: Vec::new(),
            decision_rule: Rule::Simple,
            ruled: None,
            rulings: Vec::new(),
            fact,
        });
        let lead = Standing {
            from: fact.number,
            roles: [reseat_procedure::model::Role::Lead].into(),
            key: founded.lead.key.0,
            retired: false,
        };
        self.enrol(founded.lead.id, founded.lead.name, lead, fact);
    }

    fn add_instrument_said(&mut self, instrument: Instrument, fact: Fact) {
        let serial = folded(&instrument.serial);
        let twin = self
            .instruments
            .values()
            .find(|first| folded(&first.serial) == serial);
        let twin = twin.map(|first| (first.serial.clone(), first.fact));
        self.clash(ClashOf::InstrumentSerial, twin, fact);
        let first = self
            .instrument(&instrument.id)
            .map(|first| (first.id.clone(), first.fact));
        if !self.clash(ClashOf::InstrumentName, first, fact) {
            self.instruments.insert(folded(&instrument.id), instrument);
        }
    }

    fn enrol(&mut self, id: Id, name: String, standing: Standing, fact: Fact) {
        let twice = self
            .person(id)
            .map(|first| (first.name.clone(), first.fact));
        if self.clash(ClashOf::Person, twice, fact) {
            return;
        }
        let first = self
            .person_named(&name)
            .map(|first| (first.name.clone(), first.fact));
        // Both people are kept: they have identifiers of their own, and both may have signed.
        self.clash(ClashOf::PersonName, first, fact);
        let past = vec![standing.clone()];
        let Standing {
            roles,
            key,
            retired,
            ..
        } = standing;
        self.people.insert(
            id,
            Person {
                id,
                name,
                roles,
                key,
                retired,
                fact,
                past,
            },
        );
    }

    fn restand(&mut self, id: Id, fact: Fact, change: impl FnOnce(&mut Standing)) {
        if let Some(person) = self.people.get_mut(&id) {
            let mut standing = Standing {
                from: fact.number,
                roles: person.roles.clone(),
                key: person.key,
                retired: person.retired,
            };
            change(&mut standing);
            person.roles.clone_from(&standing.roles);
            person.key = standing.key;
            person.retired = standing.retired;
            person.fact = fact;
            person.past.push(standing);
        }
    }

    fn fold_plant(&mut self, body: Body, fact: Fact) {
        match body {
            Body::PlaceAdded(said) => {
                let place = Place {
                    tag: said.tag,
                    name: said.name,
                    points: said.points,
                    redundant_with: said.redundant_with,
                    holds: None,
                    fact,
                };
                let first = self
                    .place(&place.tag)
                    .map(|first| (first.tag.clone(), first.fact));
                if !self.clash(ClashOf::Tag, first, fact) {
                    self.places.insert(folded(&place.tag), place);
                }
            }
            Body::PlaceChanged(said) => {
                if let Some(place) = self.places.get_mut(&folded(&said.tag)) {
                    place.name = said.name;
                    place.points = said.points;
                    place.redundant_with = said.redundant_with;
                    place.fact = fact;
                }
            }
            Body::UnitAdded(said) => {
                let unit = Unit {
                    serial: said.serial,
                    model: said.model,
                    name: said.name,
                    place: None,
                    fact,
                };
                let first = self
                    .unit(&unit.serial)
                    .map(|first| (first.serial.clone(), first.fact));
                if !self.clash(ClashOf::UnitSerial, first, fact) {
                    self.units.insert(folded(&unit.serial), unit);
                }
            }
            Body::UnitChanged(said) => {
                if let Some(unit) = self.units.get_mut(&folded(&said.serial)) {
                    unit.model = said.model;
                    unit.name = said.name;
                    unit.fact = fact;
                }
            }
            Body::Fitted(said) => self.join(&said.tag, &said.serial, true, fact),
            Body::Removed(said) => self.join(&said.tag, &said.serial, false, fact),
            _ => {}
        }
    }

    fn join(&mut self, tag: &str, serial: &str, fitted: bool, fact: Fact) {
        if let Some(place) = self.places.get_mut(&folded(tag)) {
            place.holds = fitted.then(|| serial.to_owned());
            place.fact = fact;
        }
        if let Some(unit) = self.units.get_mut(&folded(serial)) {
            unit.place = fitted.then(|| tag.to_owned());
            unit.fact = fact;
        }
    }

    fn fold_instrument(&mut self, body: Body, entry: &Entry, fact: Fact) {
        let (id, change): (String, Change) = match body {
            Body::InstrumentAdded(said) => {
                let certified = vec![Certified {
                    calibrated: said.calibration.calibrated.clone(),
                    fact,
                }];
                let instrument = Instrument {
                    certified,
                    id: said.id,
                    serial: said.serial,
                    kind: said.kind,
                    scale: said.scale.unit,
                    reference: said.scale.reference,
                    range: said.range,
                    usable: said.usable,
                    resolution: said.resolution,
                    calibration: said.calibration,
                    service: Service::InService,
                    out_of_service: None,
                    checked: None,
                    day_check: said.day_check,
                    fact,
                };
                self.add_instrument_said(instrument, fact);
                return;
            }
            Body::CalibrationRenewed(said) => (
                said.id,
                Box::new(move |instrument| {
                    instrument.certified.push(Certified {
                        calibrated: said.calibration.calibrated.clone(),
                        fact,
                    });
                    instrument.calibration = said.calibration;
                    instrument.fact = fact;
                }),
            ),
            Body::DayChecked(said) if said.passed => {
                let utc = entry.utc.clone();
                (
                    said.id,
                    Box::new(move |instrument| instrument.checked = Some(utc)),
                )
            }
            Body::DayChecked(said) => (
                said.id,
                out_of_service(Service::Quarantined, said.seen, fact),
            ),
            Body::Quarantined(said) => (
                said.id,
                out_of_service(Service::Quarantined, said.reason, fact),
            ),
            Body::Withdrawn(said) => (
                said.id,
                out_of_service(Service::Withdrawn, said.reason, fact),
            ),
            Body::Returned(said) => (
                said.id,
                Box::new(move |instrument| {
                    instrument.service = Service::InService;
                    instrument.out_of_service = None;
                    // What was checked before a quarantine says nothing of the instrument that comes back.
                    instrument.checked = None;
                    instrument.fact = fact;
                }),
            ),
            _ => return,
        };
        if let Some(instrument) = self.instruments.get_mut(&folded(&id)) {
            change(instrument);
        }
    }
}

fn out_of_service(
    service: Service,
    reason: String,
    fact: Fact,
) -> Box<dyn FnOnce(&mut Instrument)> {
    Box::new(move |instrument| {
        instrument.service = service;
        instrument.out_of_service = Some(reason);
        instrument.checked = None;
        instrument.fact = fact;
    })
}
