//! `reseat calc decay`, `seat`, `spring` and `setpoint-error`: tests of the unit on the bench.

use reseat_measure::regulator::{set_point_error_percent, spring_deflection_mm, spring_rate_n_mm};
use reseat_measure::seat::{self, allowance};
use reseat_measure::{Dimension, Hold, Quantity, SeatClass};
use serde_json::json;

use super::super::Stop;
use super::input::{number, optional, quantity, wrong};
use super::{Said, rounded, rounded_down};

/// The atmosphere where none is given, standard.
const ATMOSPHERE: &str = "101.325 kPa a";

#[derive(Debug, clap::Args)]
pub(super) struct Decay {
    /// Closed volume
    #[arg(long, allow_hyphen_values = true)]
    volume: String,
    /// Pressure at the beginning, gauge or absolute: '6 bar g', '25.3 kPa a'
    #[arg(long, allow_hyphen_values = true)]
    p1: String,
    /// Pressure at the end
    #[arg(long, allow_hyphen_values = true)]
    p2: String,
    /// Temperature of the gas at the beginning
    #[arg(long, allow_hyphen_values = true)]
    t1: String,
    /// Temperature of the gas at the end
    #[arg(long, allow_hyphen_values = true)]
    t2: String,
    /// Time between
    #[arg(long, allow_hyphen_values = true)]
    time: String,
    /// Absolute pressure of the air, for gauge pressures
    #[arg(long, allow_hyphen_values = true, default_value = ATMOSPHERE)]
    atmosphere: String,
}

pub(super) fn decay(args: &Decay) -> Result<Said, Stop> {
    let volume = quantity("--volume", &args.volume, Dimension::Volume)?;
    let p1 = quantity("--p1", &args.p1, Dimension::Pressure)?;
    let p2 = quantity("--p2", &args.p2, Dimension::Pressure)?;
    let t1 = quantity("--t1", &args.t1, Dimension::Temperature)?;
    let t2 = quantity("--t2", &args.t2, Dimension::Temperature)?;
    let time = quantity("--time", &args.time, Dimension::Time)?;
    let atmosphere = quantity("--atmosphere", &args.atmosphere, Dimension::Pressure)?;
    let leak = Hold::new(&volume, [&p1, &p2], [&t1, &t2], &time, &atmosphere)
        .map_err(|error| wrong("calc decay", error))?
        .leak();
    let way = if leak.mol_s > 0.0 {
        "Gas leaks into the volume"
    } else if leak.mol_s < 0.0 {
        "Gas leaks out of the volume"
    } else {
        "No leak"
    };
    let size = |value: f64| rounded(value.abs(), 4);
    Ok(Said::new(
        format!(
            "{way}: {} mol/s, {} Pa·m³/s at the first temperature, {} sccm at 0 °C.",
            size(leak.mol_s),
            size(leak.pa_m3_s),
            size(leak.sccm_0c)
        ),
        json!({
            "leak_mol_s": leak.mol_s,
            "leak_pa_m3_s": leak.pa_m3_s,
            "leak_sccm_0c": leak.sccm_0c,
        }),
    ))
}

#[derive(Debug, clap::Args)]
pub(super) struct Seat {
    /// Seat leakage class of ANSI/FCI 70-2: II, III, IV, V or VI
    #[arg(long, allow_hyphen_values = true, required_unless_present = "api_598")]
    class: Option<String>,
    /// Instead of a class, what closes a valve tested to API 598
    #[arg(long, value_enum, conflicts_with_all = ["class", "rated", "dp"], requires_all = ["medium", "port"])]
    api_598: Option<Closes>,
    /// What it is tested with (API 598)
    #[arg(long, value_enum, requires = "api_598")]
    medium: Option<With>,
    /// Diameter of the port (classes V and VI), nominal size of the valve (API 598)
    #[arg(long, allow_hyphen_values = true)]
    port: Option<String>,
    /// Rated flow (classes II, III and IV), of a gas at standard conditions: '100 L/min', '100 scfh'
    #[arg(long, allow_hyphen_values = true)]
    rated: Option<String>,
    /// Pressure drop across the seat (class V), 100 psi or more
    #[arg(long, allow_hyphen_values = true)]
    dp: Option<String>,
}

/// What closes the valve.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum Closes {
    /// Rubber or plastic
    Resilient,
    /// Metal to metal
    Metal,
    /// A metal-seated check valve
    Check,
}

/// What a seat is tested with.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum With {
    /// Water or another liquid
    Liquid,
    /// Air or another gas
    Gas,
}

/// The allowance of API 598 by nominal size, and how long the test lasts at least.
fn by_api(closes: Closes, with: With, size: &str) -> Result<Said, Stop> {
    let size = quantity("--port", size, Dimension::Length)?;
    let inches = seat::nominal_size(&size).map_err(|error| wrong("--port", error))?;
    let (closing, words) = match closes {
        Closes::Resilient => (seat::Seat::Resilient, "a resilient seat"),
        Closes::Metal => (seat::Seat::Metal, "a metal seat"),
        Closes::Check => (seat::Seat::CheckValve, "a metal-seated check valve"),
    };
    let medium = match with {
        With::Liquid => seat::Medium::Liquid,
        With::Gas => seat::Medium::Gas,
    };
    let allowed = seat::api_598(closing, medium, inches).map_err(|error| wrong("--port", error))?;
    let sizes = seat::api_598_sizes(inches).map_err(|error| wrong("--port", error))?;
    let seconds = sizes.least_seconds;
    Ok(Said::new(
        format!(
            "API 598 allows {words} of {size} at most {} {}, over at least {seconds} s (its sizes {}).",
            rounded_down(allowed.most, 4),
            allowed.unit,
            sizes.words
        ),
        json!({
            "limit": allowed.most,
            "unit": allowed.unit.to_string(),
            "least_seconds": seconds,
        }),
    ))
}

pub(super) fn seat(args: &Seat) -> Result<Said, Stop> {
    if let (Some(closes), Some(with), Some(size)) = (args.api_598, args.medium, &args.port) {
        return by_api(closes, with, size);
    }
    let class = args
        .class
        .as_deref()
        .unwrap_or_default()
        .parse::<SeatClass>()
        .map_err(|error| wrong("--class", error))?;
    let port = optional("--port", args.port.as_deref(), Dimension::Length)?;
    let rated = args.rated.as_deref().map(rated_flow).transpose()?;
    let drop = optional("--dp", args.dp.as_deref(), Dimension::Pressure)?;
    let allowed = allowance(class, port.as_ref(), rated.as_ref(), drop.as_ref())
        .map_err(|error| wrong("calc seat", error))?;
    let bubbles = allowed
        .bubbles_min
        .map(|bubbles| match rounded_down(bubbles, 4).as_str() {
            "1" => ", 1 bubble/min".to_owned(),
            several => format!(", {several} bubbles/min"),
        })
        .unwrap_or_default();
    let mut said = Said::new(
        format!(
            "Class {class} allows at most {} mL/min{bubbles} ({}).",
            rounded_down(allowed.ml_min, 4),
            allowed.source
        ),
        json!({
            "limit_ml_min": allowed.ml_min,
            "limit_bubbles_min": allowed.bubbles_min,
        }),
    );
    if let Some(note) = allowed.note {
        said.sentences.push(note.to_owned());
        said.json["note"] = json!(note);
    }
    Ok(said)
}

/// The rated flow: as it flows, or of a gas at standard conditions.
fn rated_flow(text: &str) -> Result<Quantity, Stop> {
    match Quantity::parse(text) {
        Ok(flow) if flow.dimension() == Dimension::StandardFlow => Ok(flow),
        _ => quantity("--rated", text, Dimension::Flow),
    }
}

#[derive(Debug, clap::Args)]
pub(super) struct Spring {
    /// Shear modulus of the wire: '81370 MPa'
    #[arg(long, allow_hyphen_values = true)]
    modulus: String,
    /// Diameter of the wire
    #[arg(long, allow_hyphen_values = true)]
    wire: String,
    /// Mean diameter of the coils
    #[arg(long, allow_hyphen_values = true)]
    mean: String,
    /// Active coils
    #[arg(long, allow_hyphen_values = true)]
    coils: String,
    /// Load on the spring; negative pulls
    #[arg(long, allow_hyphen_values = true)]
    load: Option<String>,
}

pub(super) fn spring(args: &Spring) -> Result<Said, Stop> {
    let modulus = quantity("--modulus", &args.modulus, Dimension::Pressure)?;
    let wire = quantity("--wire", &args.wire, Dimension::Length)?;
    let mean = quantity("--mean", &args.mean, Dimension::Length)?;
    let coils = number("--coils", &args.coils)?;
    let load = optional("--load", args.load.as_deref(), Dimension::Force)?;
    let refused = |error| wrong("calc spring", error);
    let rate = spring_rate_n_mm(&modulus, &wire, &mean, coils).map_err(refused)?;
    let deflection = load
        .map(|load| spring_deflection_mm(rate, &load))
        .transpose()
        .map_err(refused)?;
    let pressed = load
        .zip(deflection)
        .map(|(load, way)| {
            let verb = if way < 0.0 {
                "pulls it out"
            } else {
                "presses it together"
            };
            format!("; {load} {verb} by {} mm", rounded(way.abs(), 4))
        })
        .unwrap_or_default();
    Ok(Said::new(
        format!("The spring's rate is {} N/mm{pressed}.", rounded(rate, 4)),
        json!({"rate_n_mm": rate, "deflection_mm": deflection}),
    ))
}

#[derive(Debug, clap::Args)]
pub(super) struct SetpointError {
    /// Pressure read, gauge or absolute
    #[arg(long, allow_hyphen_values = true)]
    reading: String,
    /// Set-point, gauge or absolute
    #[arg(long, allow_hyphen_values = true)]
    set: String,
    /// Absolute pressure of the air
    #[arg(long, allow_hyphen_values = true, default_value = ATMOSPHERE)]
    atmosphere: String,
}

pub(super) fn setpoint_error(args: &SetpointError) -> Result<Said, Stop> {
    let reading = quantity("--reading", &args.reading, Dimension::Pressure)?;
    let set = quantity("--set", &args.set, Dimension::Pressure)?;
    let atmosphere = quantity("--atmosphere", &args.atmosphere, Dimension::Pressure)?;
    let error = set_point_error_percent(&reading, &set, &atmosphere)
        .map_err(|error| wrong("calc setpoint-error", error))?;
    let way = if error < 0.0 { "below" } else { "above" };
    // The same pressure in two units comes out a few binary digits apart.
    let sentence = if error.abs() < 1e-9 {
        format!("{reading} is at the set-point, {set}: no error.")
    } else {
        format!(
            "{reading} is {} % of the absolute set pressure {way} {set}.",
            rounded(error.abs(), 4)
        )
    };
    Ok(Said::new(sentence, json!({"error_percent": error})))
}
