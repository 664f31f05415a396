//! What if, for programs: what every check would read with faults and without, on a typical vehicle.

use super::body::{Asked, At};
use super::circuits::OfCircuit;
use super::refused::{OfJob, Refused};
use crate::circuits::{Ready, called};
use crate::not_done::NotDone;
use crate::pages::thinking;
use crate::pages::what_if::{self as page, Typed};
use crate::shop::{Shop, Visitor};
use axum::extract::State;
use axum::{Extension, Json};
use desk::words;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use utoipa::{IntoParams, ToSchema};

/// What is set.
#[derive(Debug, Default, Deserialize, IntoParams)]
#[serde(default)]
#[into_params(parameter_in = Query)]
pub(crate) struct Setting {
    /// `PART/FAULT`; none for a sound vehicle.
    fault: String,
    /// How bad, 0 to 100: the kind's 5th to 95th percentile, evenly in the logarithm. Without it, 50.
    severity: Option<f64>,
    /// A second one.
    other: String,
    /// How bad that is.
    other_severity: Option<f64>,
    /// The condition; without it, one with a running engine, else one with power on.
    condition: String,
    /// Height above the sea, m, up to 4000.
    #[param(minimum = 0, maximum = 4000)]
    altitude_m: Option<f64>,
    /// Whether what healthy vehicles read is wanted too; it takes longer.
    healthy: bool,
    /// Whether the drawing with the figures is wanted, as SVG.
    drawing: bool,
}

/// What every check of the condition would read.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct WhatIf {
    circuit: String,
    condition: String,
    altitude_m: f64,
    faults: Vec<SetFault>,
    gauges: Vec<Gauge>,
    svg: Option<String>,
}

/// A fault that is set.
#[derive(Debug, Serialize, ToSchema)]
struct SetFault {
    /// `PART/FAULT`.
    fault: String,
    /// How bad, 0 to 100.
    severity: f64,
    /// The same in words, with its unit; absent where it cannot be more or less bad.
    how_bad: Option<String>,
}

/// One reading, by a perfect instrument.
#[derive(Debug, Serialize, ToSchema)]
struct Gauge {
    /// Id of the check.
    check: String,
    /// In words.
    what: String,
    /// SI unit of the figures; absent for yes or no, where they are the probability of yes.
    unit: Option<String>,
    /// Without the faults; absent where the circuit finds no balance.
    sound: Option<f64>,
    /// With them.
    faulty: Option<f64>,
    /// 5th, 50th and 95th percentile of what instruments show on sound vehicles.
    healthy: Option<[f64; 3]>,
}

/// What every gauge would show with faults set on a typical vehicle.
#[utoipa::path(get, path = "/api/circuits/{name}/what-if", params(OfCircuit, Setting), responses((status = 200, body = WhatIf), Refused))]
pub(crate) async fn of_circuit(
    State(shop): State<Arc<Shop>>,
    At(name): At<String>,
    Asked(setting): Asked<Setting>,
) -> Result<Json<WhatIf>, NotDone> {
    thinking(move || told(&*called(&shop, &name)?, &setting))
        .await
        .map(Json)
}

/// The same on a job's circuit, at its altitude.
#[utoipa::path(get, path = "/api/jobs/{number}/what-if", params(OfJob, Setting), responses((status = 200, body = WhatIf), Refused))]
pub(crate) async fn of_job(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    At(number): At<String>,
    Asked(mut setting): Asked<Setting>,
) -> Result<Json<WhatIf>, NotDone> {
    let (ready, altitude, _) = page::of_job(&shop, &visitor, number).await?;
    setting.altitude_m = setting.altitude_m.or_else(|| altitude.parse().ok());
    thinking(move || told(&ready, &setting)).await.map(Json)
}

impl Setting {
    /// As the page's address says it.
    fn typed(&self) -> Typed {
        let number = |number: Option<f64>| number.map_or_else(String::new, |number| number.to_string());
        Typed {
            fault: self.fault.clone(),
            severity: number(self.severity),
            other: self.other.clone(),
            other_severity: number(self.other_severity),
            condition: self.condition.clone(),
            altitude: number(self.altitude_m),
            ..Typed::default()
        }
    }
}

fn told(ready: &Ready, setting: &Setting) -> Result<WhatIf, NotDone> {
    let circuit = ready.model.circuit();
    let asked = page::Asked::of(circuit, &setting.typed())?;
    let read = page::read(ready, &asked);
    let gauges = read.iter().map(|read| {
        let check = &ready.model.checks()[read.check];
        Gauge {
            check: check.id.clone(),
            what: words::plainly(circuit, check),
            unit: check
                .reads
                .dimension()
                .map(|dimension| dimension.si_unit().to_owned()),
            sound: read.sound.as_ref().ok().copied(),
            faulty: read.faulty.as_ref().ok().copied(),
            healthy: setting
                .healthy
                .then(|| page::band(ready, &asked, read.check))
                .flatten(),
        }
    });
    Ok(WhatIf {
        circuit: circuit.name.clone(),
        condition: circuit.conditions[asked.condition.0].id.clone(),
        altitude_m: asked.altitude,
        faults: asked
            .set
            .iter()
            .map(|set| SetFault {
                fault: circuit.fault_name(set.fault),
                severity: set.place,
                how_bad: page::how_bad(circuit, set),
            })
            .collect(),
        gauges: gauges.collect(),
        svg: setting
            .drawing
            .then(|| page::drawing(ready, &asked, &read, page::WIDTHS.1)),
    })
}
