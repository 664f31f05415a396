//! The offer to the customer, for programs: as it stands, given, and answered.

use super::body::{Asked, At, Body};
use super::jobs::write;
use super::refused::{NotTaken, OfJob, Refused};
use super::said::{JobState, Quality};
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use axum::extract::State;
use axum::{Extension, Json};
use desk::offer::Answered;
use desk::show::Units;
use desk::{Desk, Held, Problem, offer};
use job::{GivenPrice, Quote, Stage};
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use utoipa::{IntoParams, ToSchema};
use uuid::Uuid;

/// An offer. Money is in the shop's currency.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Offer {
    /// `draft`, `given` or `agreed`.
    state: &'static str,
    /// To be said with an answer: whether something was written since.
    turn: u64,
    currency: String,
    /// Price of an hour of work before tax.
    rate_per_hour: f64,
    tax_percent: f64,
    /// Hands-on minutes until now.
    minutes_so_far: f64,
    /// What the work until now and the parts fitted come to, with tax.
    cost_so_far: f64,
    /// Ways to repair, the one we would take first.
    options: Vec<WayOn>,
    /// The number of the option that the customer agreed to.
    agreed: Option<usize>,
    /// Expected cost of going on until a proven repair, with tax; absent once the cause is proven.
    going_on_cost: Option<f64>,
    /// The same in words.
    going_on: String,
    /// What is known and what happens if the customer stops here.
    if_stopped: String,
    /// That it goes beyond what the customer will spend.
    above_the_limit: Option<String>,
    /// What the figures rest on.
    rests_on: &'static str,
    /// Prices that a person gave.
    prices: Vec<PartPrice>,
}

/// One way to repair.
#[derive(Debug, Serialize, ToSchema)]
struct WayOn {
    /// Counted from 1.
    option: usize,
    what: String,
    /// The part that is renewed; several are joined by ` + `.
    part: Option<String>,
    /// `original`, `equivalent` or `budget`.
    grade: Option<&'static str>,
    /// Chance that this is all that is wrong in the circuit.
    chance: Option<f64>,
    /// Price of the part before tax.
    parts: f64,
    /// Whether a person gave all of it; else it is worked out from the usual one.
    price_given: bool,
    minutes: f64,
    /// Before tax.
    work: f64,
    tax: f64,
    /// What the customer pays.
    total: f64,
    /// Over the years, with bad new parts and how long it lasts.
    cost_per_100000_km: f64,
    life_km: Option<f64>,
    /// Chance that the new part is bad.
    bad_from_new: f64,
}

/// A real price of a part, before tax.
#[derive(Debug, Clone, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"part": "valve", "grade": "budget", "price": 22.5}))]
pub(crate) struct PartPrice {
    part: String,
    grade: Quality,
    #[schema(minimum = 0)]
    price: f64,
}

/// What to make the offer with.
#[derive(Debug, Default, Deserialize, IntoParams)]
#[serde(default)]
#[into_params(parameter_in = Query)]
pub(crate) struct Wanted {
    /// A real price before tax as `PART=GRADE:AMOUNT`, several with commas between: `valve=budget:22.50`.
    prices: String,
    /// A new one, whatever offer waits for an answer.
    anew: bool,
}

/// What is said to an offer.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"turn": 9, "answer": "accept", "option": 1, "words": "by telephone"}))]
pub(crate) struct NewAnswer {
    /// The entry's name for good, made by the caller: said twice it counts once.
    entry: Option<Uuid>,
    /// As the offer said it.
    turn: u64,
    answer: Answer,
    /// With `accept`: the number of the option, counted from 1.
    option: Option<usize>,
    /// Words of the customer; the reason if they say no.
    #[serde(default)]
    words: String,
    /// Real prices; those of the offer that waits are kept.
    #[serde(default)]
    prices: Vec<PartPrice>,
}

/// The answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
enum Answer {
    /// The offer is given, the answer comes later.
    Give,
    /// Yes to an option.
    Accept,
    /// No repair yet, and yes to going on with measuring.
    GoOn,
    /// No.
    Refuse,
}

/// The offer that waits for an answer, or one made as things stand; nothing is written.
#[utoipa::path(get, path = "/api/jobs/{number}/offer", params(OfJob, Wanted), responses((status = 200, body = Offer), Refused))]
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    At(number): At<String>,
    Asked(wanted): Asked<Wanted>,
) -> Result<Json<Offer>, NotDone> {
    let offer = shop.with(&visitor, move |desk| {
        let held = desk.job(&number)?;
        let prices = wanted.prices()?;
        let quote = offer::standing(desk, &held, &prices, wanted.anew, Units::default())?;
        Ok::<_, Problem>(told(&held, quote))
    });
    Ok(Json(offer.await?))
}

/// Gives an offer, or notes what the customer says to it.
#[utoipa::path(post, path = "/api/jobs/{number}/offer", request_body = NewAnswer, params(OfJob), responses((status = 200, body = JobState), NotTaken))]
pub(crate) async fn answer(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    At(number): At<String>,
    Body(new): Body<NewAnswer>,
) -> Result<Json<JobState>, NotDone> {
    let entry = new.entry;
    let events = move |desk: &mut Desk, held: &Held| {
        let answered = match (new.answer, new.option) {
            (Answer::Accept, Some(option)) => Answered::Option(option),
            (Answer::Accept, None) => {
                return Err(Problem::bad_input(
                    "say with `option` which one is agreed to",
                    None,
                ));
            }
            (_, Some(_)) => {
                return Err(Problem::bad_input(
                    "`option` goes with the answer `accept` only",
                    None,
                ));
            }
            (Answer::Give, None) => Answered::Later,
            (Answer::GoOn, None) => Answered::GoOn,
            (Answer::Refuse, None) => Answered::No,
        };
        let prices: Vec<GivenPrice> = new.prices.iter().cloned().map(GivenPrice::from).collect();
        let quote = offer::standing(desk, held, &prices, false, Units::default())?;
        offer::answer(held, &quote, Some(new.turn), answered, new.words.trim())
    };
    write(&shop, &visitor, number, entry, events).await
}

impl Wanted {
    fn prices(&self) -> Result<Vec<GivenPrice>, Problem> {
        let all = self
            .prices
            .split(',')
            .map(str::trim)
            .filter(|price| !price.is_empty());
        all.map(|text| {
            let (part, rest) = text.split_once('=')?;
            let (grade, price) = rest.split_once(':')?;
            let grade = job::Grade::ALL
                .into_iter()
                .find(|known| known.name() == grade.trim())?;
            let price = price.trim().parse::<f64>().ok()?;
            (price.is_finite() && price >= 0.0).then(|| GivenPrice {
                part: part.trim().to_owned(),
                grade,
                price,
            })
        })
        .collect::<Option<_>>()
        .ok_or_else(|| {
            Problem::bad_input(
                "a price is not understood",
                Some("PART=GRADE:AMOUNT, for instance valve=budget:22.50".to_owned()),
            )
        })
    }
}

impl From<PartPrice> for GivenPrice {
    fn from(given: PartPrice) -> Self {
        Self {
            part: given.part,
            grade: given.grade.into(),
            price: given.price,
        }
    }
}

fn told(held: &Held, quote: Quote) -> Offer {
    let agreed = held.job.accepted.filter(|_| held.job.stage == Stage::Agreed);
    let given = offer::giving(held, &quote).is_empty();
    Offer {
        state: match (agreed, given) {
            (Some(_), _) => "agreed",
            (None, true) => "given",
            (None, false) => "draft",
        },
        turn: held.job.next_turn,
        going_on: offer::going_on(held, &quote),
        above_the_limit: offer::above(held, &quote),
        agreed: agreed.map(|index| index + 1),
        rests_on: offer::ROUGH,
        prices: quote
            .prices
            .iter()
            .map(|given| PartPrice {
                part: given.part.clone(),
                grade: given.grade.into(),
                price: given.price,
            })
            .collect(),
        options: quote.options.iter().zip(1..).map(way_on).collect(),
        currency: quote.currency,
        rate_per_hour: quote.rate_per_hour,
        tax_percent: quote.tax_percent,
        minutes_so_far: quote.minutes_so_far,
        cost_so_far: quote.so_far,
        going_on_cost: quote.going_on,
        if_stopped: quote.if_stopped,
    }
}

fn way_on((option, number): (&job::QuoteOption, usize)) -> WayOn {
    WayOn {
        option: number,
        what: option.what.clone(),
        part: option.part.clone(),
        grade: option.grade.map(job::Grade::name),
        chance: option.cause,
        parts: option.parts,
        price_given: option.price_given,
        minutes: option.minutes,
        work: option.work,
        tax: option.tax,
        total: option.total,
        cost_per_100000_km: option.expected,
        life_km: option.life_km,
        bad_from_new: option.bad_from_new,
    }
}
