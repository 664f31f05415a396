//! The shop for programs: what it charges, who works there, where it stands, and how right its instruments are.

use super::body::Body;
use super::refused::NotTaken;
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use axum::extract::State;
use axum::{Extension, Json};
use desk::{Charges, Desk, OwnInstrument, Problem, ShopFacts};
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use utoipa::ToSchema;

/// The shop's settings.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Settings {
    /// The currency's letters or sign.
    currency: Option<String>,
    /// Price of an hour of work before tax.
    rate_per_hour: Option<f64>,
    /// Tax on work and parts.
    tax_percent: Option<f64>,
    /// Height above the sea, with its unit.
    altitude: Option<String>,
    people: Vec<String>,
    instruments: Vec<Instrument>,
}

/// One of the shop's own instruments. Its name makes its error its own, so that two gauges can disagree.
#[derive(Debug, Clone, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"sort": "vacuum gauge", "name": "red one", "accuracy": "class 1.6"}))]
pub(crate) struct Instrument {
    /// `vacuum gauge`, `pressure gauge`, `voltmeter`, `ohmmeter`, `current clamp`, `rule` or `tachometer`.
    sort: String,
    name: String,
    /// As its dial or manual says: `class 1.6 of 4 bar` (EN 837-1), `grade B of 60 psi` (ASME B40.100), `0.5 % + 2 digits`,
    /// `0.5 mm`; without it, as such instruments usually are.
    accuracy: Option<String>,
}

/// What to change. What is not given stays; a list that is given takes the place of the one there.
#[derive(Debug, Default, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
#[schema(example = json!({"currency": "EUR", "rate_per_hour": 95, "tax_percent": 19, "altitude": "440 m",
    "instruments": [{"sort": "vacuum gauge", "name": "red one", "accuracy": "class 1.6"}]}))]
pub(crate) struct NewSettings {
    currency: Option<String>,
    #[schema(minimum = 0)]
    rate_per_hour: Option<f64>,
    #[schema(minimum = 0)]
    tax_percent: Option<f64>,
    /// With its unit; an empty text forgets it.
    altitude: Option<String>,
    people: Option<Vec<String>>,
    instruments: Option<Vec<Instrument>>,
}

/// The shop's settings.
#[utoipa::path(get, path = "/api/shop", responses((status = 200, body = Settings)))]
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
) -> Result<Json<Settings>, NotDone> {
    Ok(Json(shop.with(&visitor, settings).await?))
}

/// Changes the shop's settings, all that is given or nothing.
#[utoipa::path(patch, path = "/api/shop", request_body = NewSettings, responses((status = 200, body = Settings), NotTaken))]
pub(crate) async fn change(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Body(new): Body<NewSettings>,
) -> Result<Json<Settings>, NotDone> {
    let changed = shop.with(&visitor, move |desk| {
        let facts = new.facts(desk::shop_facts(desk)?)?;
        let charges = Charges {
            currency: new.currency,
            rate_per_hour: new.rate_per_hour,
            tax_percent: new.tax_percent,
        };
        desk::keep_shop(desk, &charges, facts)?;
        settings(desk)
    });
    Ok(Json(changed.await?))
}

impl NewSettings {
    /// What the shop is afterwards, tried before anything is written.
    fn facts(&self, mut facts: ShopFacts) -> Result<ShopFacts, Problem> {
        if let Some(people) = &self.people {
            facts.people.clone_from(people);
        }
        if let Some(altitude) = &self.altitude {
            facts.altitude = Some(altitude.clone());
        }
        if let Some(instruments) = &self.instruments {
            let own = instruments
                .iter()
                .map(|own| OwnInstrument::new(&own.sort, &own.name, own.accuracy.as_deref()));
            facts.instruments = own.collect::<Result<_, _>>()?;
        }
        desk::checked_facts(facts)
    }
}

fn settings(desk: &mut Desk) -> Result<Settings, Problem> {
    let (charges, facts) = (desk::charges(desk)?, desk::shop_facts(desk)?);
    Ok(Settings {
        currency: charges.currency,
        rate_per_hour: charges.rate_per_hour,
        tax_percent: charges.tax_percent,
        altitude: facts.altitude,
        people: facts.people,
        instruments: facts.instruments.iter().map(Instrument::from).collect(),
    })
}

impl From<&OwnInstrument> for Instrument {
    fn from(own: &OwnInstrument) -> Self {
        Self {
            sort: own.sort.word().to_owned(),
            name: own.name.clone(),
            accuracy: own.accuracy.as_ref().map(ToString::to_string),
        }
    }
}
