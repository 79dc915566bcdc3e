//! Places, units and instruments: what may be said of them.

use reseat_measure::{Dimension, Quantity, Window};
use reseat_procedure::model::Role;

use super::decide::{come_day_of, day_of, text_of};
use super::{
    Body, Calibration, CalibrationRenewed, Command, DayChecked, Fitted, Instrument,
    InstrumentAdded, InstrumentSaid, Place, PlaceAdded, PlaceChanged, PlacePoint, PlaceSaid,
    Quarantined, Register, Removed, Returned, Scale, Service, Unit, UnitAdded, UnitChanged,
    UnitSaid, Withdrawn,
};
use crate::log::Stamp;
use crate::refusal::Refusal;
use crate::text::{NAME_CHARS, NOTE_CHARS, SERIAL_CHARS, TAG_CHARS, folded};

/// Most isolating and drain points of one place.
const MOST_POINTS: usize = 64;

impl Register {
    pub(super) fn decide_plant(&self, command: Command, stamp: &Stamp) -> Result<Body, Refusal> {
        match command {
            Command::AddPlace(said) => {
                self.actor_with(Role::Lead, stamp)?;
                let said = self.clean_place(&said)?;
                if let Some(place) = self.place(&said.tag) {
                    return Err(Refusal::TagTaken {
                        tag: place.tag.clone(),
                    });
                }
                let PlaceSaid {
                    tag,
                    name,
                    points,
                    redundant_with,
                } = said;
                Ok(Body::PlaceAdded(PlaceAdded {
                    tag,
                    name,
                    points,
                    redundant_with,
                }))
            }
            Command::ChangePlace(said) => {
                self.actor_with(Role::Lead, stamp)?;
                let said = self.clean_place(&said)?;
                let place = self.place_of(&said.tag)?;
                if place.name == said.name
                    && place.points == said.points
                    && place.redundant_with == said.redundant_with
                {
                    return Err(Refusal::NothingChanges {});
                }
                let PlaceSaid {
                    name,
                    points,
                    redundant_with,
                    ..
                } = said;
                Ok(Body::PlaceChanged(PlaceChanged {
                    tag: place.tag.clone(),
                    name,
                    points,
                    redundant_with,
                }))
            }
            Command::Fit { .. } | Command::Remove { .. } => self.decide_fitting(command, stamp),
            other => self.decide_unit(other, stamp),
        }
    }

    fn decide_unit(&self, command: Command, stamp: &Stamp) -> Result<Body, Refusal> {
        self.actor_with(Role::Lead, stamp)?;
        match command {
            Command::AddUnit(said) => {
                let UnitSaid {
                    serial,
                    model,
                    name,
                } = clean_unit(&said)?;
                if let Some(unit) = self.unit(&serial) {
                    return Err(Refusal::SerialTaken {
                        serial: unit.serial.clone(),
                        name: unit.name.clone(),
                    });
                }
                Ok(Body::UnitAdded(UnitAdded {
                    serial,
                    model,
                    name,
                }))
            }
            Command::ChangeUnit(said) => {
                let UnitSaid {
                    serial,
                    model,
                    name,
                } = clean_unit(&said)?;
                let unit = self.unit_of(&serial)?;
                if unit.model == model && unit.name == name {
                    return Err(Refusal::NothingChanges {});
                }
                Ok(Body::UnitChanged(UnitChanged {
                    serial: unit.serial.clone(),
                    model,
                    name,
                }))
            }
            _ => Err(Refusal::NothingChanges {}),
        }
    }

    fn decide_fitting(&self, command: Command, stamp: &Stamp) -> Result<Body, Refusal> {
        self.actor(stamp)?;
        match command {
            Command::Fit { tag, serial } => {
                let (place, unit) = (self.place_of(&tag)?, self.unit_of(&serial)?);
                if let Some(there) = &place.holds {
                    return Err(Refusal::PlaceHolds {
                        tag: place.tag.clone(),
                        serial: there.clone(),
                    });
                }
                if let Some(elsewhere) = &unit.place {
                    return Err(Refusal::UnitFitted {
                        serial: unit.serial.clone(),
                        tag: elsewhere.clone(),
                    });
                }
                Ok(Body::Fitted(Fitted {
                    tag: place.tag.clone(),
                    serial: unit.serial.clone(),
                }))
            }
            Command::Remove { tag, serial } => {
                let (place, unit) = (self.place_of(&tag)?, self.unit_of(&serial)?);
                let (tag, serial) = (place.tag.clone(), unit.serial.clone());
                if place.holds.as_deref() == Some(serial.as_str()) {
                    Ok(Body::Removed(Removed { tag, serial }))
                } else {
                    Err(Refusal::NotFitted { serial, tag })
                }
            }
            _ => Err(Refusal::NothingChanges {}),
        }
    }

    pub(super) fn decide_instrument(
        &self,
        command: Command,
        stamp: &Stamp,
    ) -> Result<Body, Refusal> {
        match command {
            Command::AddInstrument(said) => {
                self.actor_with(Role::Lead, stamp)?;
                self.add_instrument(said, stamp)
            }
            Command::RenewCalibration { id, calibration } => {
                self.actor_with(Role::Lead, stamp)?;
                self.renew(&id, calibration, stamp)
            }
            Command::CheckForDay { id, seen, passed } => {
                self.actor(stamp)?;
                let instrument = self.instrument_in_service(&id)?;
                let seen = text_of("what was seen", &seen, NOTE_CHARS)?;
                Ok(Body::DayChecked(DayChecked {
                    id: instrument.id.clone(),
                    seen,
                    passed,
                }))
            }
            Command::Quarantine { id, reason } => {
                self.actor(stamp)?;
                let instrument = self.instrument_in_service(&id)?;
                let reason = text_of("reason", &reason, NOTE_CHARS)?;
                Ok(Body::Quarantined(Quarantined {
                    id: instrument.id.clone(),
                    reason,
                }))
            }
            Command::Return { id, reason } => {
                self.actor_with(Role::Lead, stamp)?;
                let instrument = self.instrument_of(&id)?;
                if instrument.service == Service::InService {
                    return Err(Refusal::NotQuarantined {
                        id: instrument.id.clone(),
                    });
                }
                let reason = text_of("reason", &reason, NOTE_CHARS)?;
                Ok(Body::Returned(Returned {
                    id: instrument.id.clone(),
                    reason,
                }))
            }
            Command::Withdraw { id, reason } => {
                self.actor_with(Role::Lead, stamp)?;
                let instrument = self.instrument_of(&id)?;
                let reason = text_of("reason", &reason, NOTE_CHARS)?;
                Ok(Body::Withdrawn(Withdrawn {
                    id: instrument.id.clone(),
                    reason,
                }))
            }
            _ => Err(Refusal::NothingChanges {}),
        }
    }

    fn renew(&self, id: &str, calibration: Calibration, stamp: &Stamp) -> Result<Body, Refusal> {
        let instrument = self.instrument_of(id)?;
        let scale = Scale {
            unit: instrument.scale,
            reference: instrument.reference,
        };
        let calibration = clean_calibration(calibration, scale, stamp)?;
        if instrument.calibration == calibration {
            return Err(Refusal::NothingChanges {});
        }
        Ok(Body::CalibrationRenewed(CalibrationRenewed {
            id: instrument.id.clone(),
            calibration,
        }))
    }

    fn place_of(&self, tag: &str) -> Result<&Place, Refusal> {
        self.place(tag)
            .ok_or_else(|| Refusal::NoPlace { tag: shown(tag) })
    }

    fn unit_of(&self, serial: &str) -> Result<&Unit, Refusal> {
        self.unit(serial).ok_or_else(|| Refusal::NoUnit {
            serial: shown(serial),
        })
    }

    /// An instrument on the register, withdrawn or not.
    pub(super) fn known_instrument(&self, id: &str) -> Result<&Instrument, Refusal> {
        self.instrument(id)
            .ok_or_else(|| Refusal::NoInstrument { id: shown(id) })
    }

    /// An instrument that was not withdrawn.
    fn instrument_of(&self, id: &str) -> Result<&Instrument, Refusal> {
        let instrument = self.known_instrument(id)?;
        if instrument.service == Service::Withdrawn {
            return Err(Refusal::InstrumentWithdrawn {
                id: instrument.id.clone(),
            });
        }
        Ok(instrument)
    }

    fn instrument_in_service(&self, id: &str) -> Result<&Instrument, Refusal> {
        let instrument = self.instrument_of(id)?;
        if instrument.service == Service::Quarantined {
            return Err(Refusal::AlreadyQuarantined {
                id: instrument.id.clone(),
            });
        }
        Ok(instrument)
    }

    fn clean_place(&self, said: &PlaceSaid) -> Result<PlaceSaid, Refusal> {
        let tag = text_of("tag", &said.tag, TAG_CHARS)?;
        let redundant_with = match &said.redundant_with {
            None => None,
            Some(other) if folded(other) == folded(&tag) => {
                return Err(Refusal::RedundantWithItself { tag });
            }
            Some(other) => Some(self.place_of(other)?.tag.clone()),
        };
        if said.points.len() > MOST_POINTS {
            return Err(Refusal::TooMany {
                what: "points",
                most: MOST_POINTS,
            });
        }
        let clean_point = |point: &PlacePoint| {
            Ok(PlacePoint {
                label: text_of("point", &point.label, TAG_CHARS)?,
                energy: text_of("energy", &point.energy, NAME_CHARS)?,
                kind: point.kind,
                position: text_of("position", &point.position, TAG_CHARS)?,
            })
        };
        let points = said
            .points
            .iter()
            .map(clean_point)
            .collect::<Result<Vec<_>, Refusal>>()?;
        Ok(PlaceSaid {
            tag,
            name: text_of("name", &said.name, NAME_CHARS)?,
            points,
            redundant_with,
        })
    }

    fn add_instrument(&self, said: InstrumentSaid, stamp: &Stamp) -> Result<Body, Refusal> {
        let id = text_of("name on site", &said.id, TAG_CHARS)?;
        let serial = text_of("serial", &said.serial, SERIAL_CHARS)?;
        if let Some(other) = self.instrument(&id) {
            return Err(Refusal::InstrumentTaken {
                id: other.id.clone(),
            });
        }
        if let Some(other) = self
            .instruments
            .values()
            .find(|other| folded(&other.serial) == folded(&serial))
        {
            return Err(Refusal::SerialTaken {
                serial: other.serial.clone(),
                name: other.id.clone(),
            });
        }
        let dimension = said.scale.unit.dimension();
        if !said.kind.takes(dimension) {
            return Err(Refusal::ScaleUnfit {
                instrument: said.kind.word(),
                scale: dimension.words(),
            });
        }
        let (low, high) = ends("range", &said.range, said.scale)?;
        if let Some(usable) = &said.usable {
            let (from, to) = ends("usable part", usable, said.scale)?;
            if below(&from, &low) || below(&high, &to) {
                return Err(Refusal::UsableBeyondRange {});
            }
        }
        if said.resolution.unit() != said.scale.unit {
            return Err(Refusal::NotOnScale {
                field: "resolution",
                scale: said.scale.to_string(),
            });
        }
        above_zero("resolution", &said.resolution)?;
        Ok(Body::InstrumentAdded(InstrumentAdded {
            id,
            serial,
            kind: said.kind,
            scale: said.scale,
            range: said.range,
            usable: said.usable,
            resolution: said.resolution,
            calibration: clean_calibration(said.calibration, said.scale, stamp)?,
            day_check: said.day_check,
        }))
    }
}

fn clean_unit(said: &UnitSaid) -> Result<UnitSaid, Refusal> {
    Ok(UnitSaid {
        serial: text_of("serial", &said.serial, SERIAL_CHARS)?,
        model: text_of("model", &said.model, SERIAL_CHARS)?,
        name: text_of("name", &said.name, NAME_CHARS)?,
    })
}

fn clean_calibration(
    said: Calibration,
    scale: Scale,
    stamp: &Stamp,
) -> Result<Calibration, Refusal> {
    let certificate = text_of("certificate", &said.certificate, SERIAL_CHARS)?;
    come_day_of("day of calibration", &said.calibrated, stamp)?;
    day_of("due date", &said.due)?;
    if said.due <= said.calibrated {
        return Err(Refusal::DueBeforeCalibrated {});
    }
    let dimension = scale.unit.dimension();
    if !said.deviation.fits(dimension) {
        return Err(Refusal::NotOnScale {
            field: "permissible deviation",
            scale: scale.to_string(),
        });
    }
    if said.uncertainty.is_some() != said.coverage.is_some() {
        return Err(Refusal::CoverageAlone {});
    }
    if let Some(uncertainty) = &said.uncertainty {
        if uncertainty.dimension() != dimension && uncertainty.dimension() != Dimension::Percent {
            return Err(Refusal::NotOnScale {
                field: "uncertainty",
                scale: scale.to_string(),
            });
        }
        above_zero("uncertainty", uncertainty)?;
    }
    if said
        .coverage
        .is_some_and(|coverage| coverage.0.digits() <= 0)
    {
        return Err(Refusal::NotAboveZero {
            field: "coverage factor",
        });
    }
    Ok(Calibration {
        certificate,
        ..said
    })
}

/// Both ends of a window that must be closed and written in the scale's unit.
fn ends(
    field: &'static str,
    window: &Window,
    scale: Scale,
) -> Result<(Quantity, Quantity), Refusal> {
    let other = window
        .reference()
        .is_some_and(|reference| scale.reference.is_some_and(|own| own != reference));
    if window.unit() != scale.unit || other {
        return Err(Refusal::NotOnScale {
            field,
            scale: scale.to_string(),
        });
    }
    window
        .low()
        .zip(window.high())
        .ok_or(Refusal::RangeOpen { field })
}

/// Compares what is written in one unit.
fn below(one: &Quantity, other: &Quantity) -> bool {
    one.decimal() < other.decimal()
}

fn above_zero(field: &'static str, quantity: &Quantity) -> Result<(), Refusal> {
    if quantity.decimal().digits() > 0 {
        Ok(())
    } else {
        Err(Refusal::NotAboveZero { field })
    }
}

/// What was typed, made fit to be shown again: it comes back in a sentence on the terminal.
fn shown(typed: &str) -> String {
    text_of("", typed, SERIAL_CHARS).unwrap_or_else(|_| "that was typed".to_owned())
}
