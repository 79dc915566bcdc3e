//! `reseat calc convert`, `judge` and `adapter`: what a reading is worth.

use reseat_measure::rule::decide;
use reseat_measure::{
    Adapter, Decision, Dimension, JointError, Place, Quantity, QuantityError, Rule, Uncertainty,
    Window, parse_scale,
};
use serde_json::json;

use super::super::Stop;
use super::input::{number, quantity, wrong};
use super::{Said, rounded};

#[derive(Debug, clap::Args)]
pub(super) struct Convert {
    /// What to convert, with its unit: '25 ft-lb', '-40 °F'
    #[arg(allow_hyphen_values = true)]
    quantity: String,
    /// The unit wanted: N.m, 'bar g'
    #[arg(allow_hyphen_values = true)]
    unit: String,
}

pub(super) fn convert(args: &Convert) -> Result<Said, Stop> {
    let from = Quantity::parse(&args.quantity).map_err(|error| wrong("QUANTITY", error))?;
    let (unit, reference) = parse_scale(&args.unit).map_err(|error| match error {
        QuantityError::Empty => wrong("UNIT", "nothing was typed; type a unit, for example N·m"),
        error => wrong("UNIT", error),
    })?;
    let value = from.to_f64_in(unit).map_err(|error| wrong("UNIT", error))?;
    if reference.is_some() && reference != from.reference() {
        return Err(wrong(
            "UNIT",
            format!(
                "only the unit of {from} can be changed, not what it is measured against; type {unit} without g, a or d"
            ),
        ));
    }
    let unit = from
        .reference()
        .map_or_else(|| unit.to_string(), |letter| format!("{unit} {letter}"));
    Ok(Said::new(
        format!("{from} is {} {unit}.", rounded(value, 6)),
        json!({"value": value, "unit": unit}),
    ))
}

#[derive(Debug, clap::Args)]
pub(super) struct Judge {
    /// Allowed values: '25..30 ft-lb', '3.4.. bar g', '..0.05 mm'
    #[arg(long, allow_hyphen_values = true)]
    window: String,
    /// What was read, with its unit
    #[arg(long, allow_hyphen_values = true)]
    reading: String,
    /// Expanded uncertainty: a percentage of the reading or a quantity
    #[arg(long, allow_hyphen_values = true)]
    uncertainty: Option<String>,
    /// Coverage factor of the uncertainty; 2 if left out
    #[arg(long, allow_hyphen_values = true)]
    coverage: Option<String>,
    /// Decision rule: simple, guarded, four or probability
    #[arg(
        long,
        default_value = "simple",
        hide_default_value = true,
        value_name = "RULE"
    )]
    rule: String,
    /// Probability of conformity asked for by the rule probability; 0.95 if left out
    #[arg(long, allow_hyphen_values = true)]
    probability: Option<String>,
}

pub(super) fn judge(args: &Judge) -> Result<Said, Stop> {
    let window = Window::parse(&args.window).map_err(|error| match error {
        QuantityError::Empty => wrong(
            "--window",
            "nothing was typed; type low..high and the unit, for example 115..130 N·m",
        ),
        error => wrong("--window", error),
    })?;
    let reading = Quantity::parse(&args.reading).map_err(|error| wrong("--reading", error))?;
    let uncertainty = uncertainty_of(args)?;
    let rule = rule_of(args)?;
    let decision = decide(&window, &reading, uncertainty.as_ref(), rule)
        .map_err(|error| wrong("calc judge", error))?;
    let distance = window
        .exact_distance(&reading)
        .map_err(|error| wrong("--reading", error))?
        .to_f64();
    Ok(Said::new(
        judged_words(&window, &reading, &decision, distance),
        json!({
            "verdict": decision.judgement.place.to_string(),
            "outcome": decision.outcome.words(),
            "distance": distance,
            "from": decision.judgement.from.to_string(),
            "unit": window.unit().symbol(),
            "probability": decision.probability,
        }),
    ))
}

fn uncertainty_of(args: &Judge) -> Result<Option<Uncertainty>, Stop> {
    let Some(expanded) = &args.uncertainty else {
        return match args.coverage {
            Some(_) => Err(wrong(
                "--coverage",
                "a coverage factor alone says nothing; give --uncertainty too",
            )),
            None => Ok(None),
        };
    };
    let coverage = args.coverage.as_deref().unwrap_or("2");
    // Read alone first, so that the sentence names the right option.
    number("--coverage", coverage)?;
    Uncertainty::parse(expanded, coverage)
        .map(Some)
        .map_err(|error| wrong("--uncertainty", error))
}

fn rule_of(args: &Judge) -> Result<Rule, Stop> {
    let asked = args.probability.as_deref();
    if args.rule.trim() == "probability" {
        return Rule::probability(asked.unwrap_or("0.95"))
            .map_err(|error| wrong("--probability", error));
    }
    let rule = args
        .rule
        .parse::<Rule>()
        .map_err(|error| wrong("--rule", error))?;
    match asked {
        Some(_) => Err(wrong(
            "--probability",
            format!(
                "the rule {rule} asks for no probability; leave it out, or take --rule probability"
            ),
        )),
        None => Ok(rule),
    }
}

fn judged_words(window: &Window, reading: &Quantity, decision: &Decision, distance: f64) -> String {
    let from = decision.judgement.from;
    let far = format!("{} {}", rounded(distance, 4), window.unit());
    let place = match decision.judgement.place {
        Place::Within if distance == 0.0 => format!("WITHIN {window}, exactly on its {from} limit"),
        Place::Within => format!("WITHIN {window}, {far} inside its {from} limit"),
        Place::Low => format!("LOW, {far} below {window}"),
        Place::High => format!("HIGH, {far} above {window}"),
    };
    let probability = decision
        .probability_text()
        .map(|text| format!(", probability of conformity {text}"))
        .unwrap_or_default();
    format!(
        "{reading} is {place}. By the rule {}: {}{probability}.",
        decision.rule, decision.outcome
    )
}

#[derive(Debug, clap::Args)]
pub(super) struct AdapterArgs {
    /// Torque wanted at the fastener
    #[arg(long, allow_hyphen_values = true)]
    torque: String,
    /// Lever of the wrench: middle of the drive to middle of the grip
    #[arg(long, allow_hyphen_values = true)]
    lever: String,
    /// Length of the adapter; negative where it shortens the wrench
    #[arg(long, allow_hyphen_values = true)]
    adapter: String,
    /// Angle between adapter and wrench; straight on if left out
    #[arg(long, allow_hyphen_values = true, default_value = "0 deg")]
    angle: String,
}

pub(super) fn adapter(args: &AdapterArgs) -> Result<Said, Stop> {
    let torque = quantity("--torque", &args.torque, Dimension::Torque)?;
    if torque.decimal().digits() <= 0 {
        return Err(wrong("--torque", JointError::NoTorque(torque.to_string())));
    }
    let lever = quantity("--lever", &args.lever, Dimension::Length)?;
    let length = quantity("--adapter", &args.adapter, Dimension::Length)?;
    let angle = quantity("--angle", &args.angle, Dimension::Angle)?;
    let setting = Adapter::new(lever, length, angle)
        .and_then(|adapter| adapter.setting_f64(&torque))
        .map_err(|error| wrong("calc adapter", error))?;
    let unit = torque.unit();
    Ok(Said::new(
        format!(
            "Set {} {unit} on the wrench for {torque} at the fastener: lever {lever}, adapter {length} at {angle}.",
            rounded(setting, 4)
        ),
        json!({"setting": setting, "unit": unit.symbol()}),
    ))
}
