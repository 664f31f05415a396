//! The engine: one plan, run by `DataFusion` on this machine or by Ballista on several.
//!
//! The plan: a row for each recording, shared out by its address; each is read and gives its figures where it lies; the drives of a
//! vehicle come together in one group and are screened. The bits of the result do not depend on how it was shared out.

mod cluster;
mod far;
mod functions;
mod rows;

use crate::listing::{Listing, listing};
use crate::told::{Fleet, Row};
use anyhow::{Context, Result, ensure};
use ballista::prelude::SessionContextExt;
use datafusion::arrow::array::{Array, AsArray, RecordBatch};
use datafusion::arrow::compute::cast;
use datafusion::arrow::datatypes::DataType;
use datafusion::dataframe::DataFrame;
use datafusion::execution::SessionStateBuilder;
use datafusion::logical_expr::{LogicalPlanBuilder, Partitioning, col, lit};
use datafusion::prelude::{Expr, SessionConfig, SessionContext};
use std::path::Path;

pub use cluster::{Executor, Scheduler, executor, scheduler};

/// Parts of the work for each thread or slot: files differ in length, and what is lost with an executor is done again.
const PARTS: usize = 4;
/// Parts of the work where a cluster does it, whose slots this end does not know.
const PARTS_OF_CLUSTER: usize = 32;
/// Rows that go through the engine at once: a row is a whole recording.
const BATCH: usize = 64;

/// Where it is run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// On this machine, with so many threads.
    Here(usize),
    /// By the scheduler at `host:port`.
    Cluster(String),
}

/// Screens the recordings behind a folder or an address of a server.
///
/// # Errors
/// There are none, or the engine stops; a file that cannot be used stops nothing and is told with its vehicle.
pub async fn screen(place: &str, rate: f64, on: &Place) -> Result<Fleet> {
    ensure!(
        rate > 0.0 && rate < 1.0,
        "{rate} is no share of vehicles: between 0 and 1 is wanted"
    );
    let found = if far::is_far(place) {
        far::listing(place).await?
    } else {
        listing(Path::new(place.strip_prefix("file://").unwrap_or(place)))?
    };
    let context = context(on).await?;
    let parts = match on {
        Place::Here(threads) => PARTS * threads.max(&1),
        Place::Cluster(_) => PARTS_OF_CLUSTER,
    };
    let batches = planned(&context, &found, parts)?
        .collect()
        .await
        .with_context(|| match on {
            Place::Here(_) => "the screening stopped".to_owned(),
            Place::Cluster(address) => format!("the screening by the scheduler at {address} stopped"),
        })?;
    let mut rows = Vec::new();
    for batch in &batches {
        rows.extend(read_back(batch)?);
    }
    Ok(Fleet { rows, rate })
}

async fn context(on: &Place) -> Result<SessionContext> {
    let config = SessionConfig::new().with_batch_size(BATCH);
    let context = match on {
        Place::Here(threads) => {
            SessionContext::new_with_config(config.with_target_partitions((*threads).max(1)))
        }
        Place::Cluster(address) => {
            let state = SessionStateBuilder::new()
                .with_config(config)
                .with_default_features()
                .build();
            let url = format!("df://{address}");
            SessionContext::remote_with_state(&url, state)
                .await
                .with_context(|| format!("no scheduler answers at {address}"))?
        }
    };
    // A context for a cluster knows only what the cluster's own functions are until it is told.
    context.register_udf(functions::figures());
    context.register_udaf(functions::screened());
    Ok(context)
}

/// The plan.
fn planned(context: &SessionContext, found: &Listing, parts: usize) -> Result<DataFrame> {
    let list: Vec<Vec<Expr>> = found
        .recordings
        .iter()
        .map(|one| {
            vec![
                lit(one.vehicle.as_str()),
                lit(one.name.as_str()),
                lit(one.address.as_str()),
            ]
        })
        .collect();
    let list = LogicalPlanBuilder::values(list)?
        .project(vec![
            col("column1").alias("vehicle"),
            col("column2").alias("name"),
            col("column3").alias("address"),
        ])?
        .build()?;
    let figures = functions::figures();
    let screened = functions::screened();
    let plan = DataFrame::new(context.state(), list)
        .repartition(Partitioning::Hash(vec![col("address")], parts))?
        .select(vec![
            col("vehicle"),
            col("name"),
            figures.call(vec![col("address")]).alias("drive"),
        ])?
        .aggregate(
            vec![col("vehicle")],
            vec![screened.call(vec![col("name"), col("drive")]).alias("screening")],
        )?
        .sort(vec![col("vehicle").sort(true, false)])?;
    Ok(plan)
}

fn read_back(batch: &RecordBatch) -> Result<Vec<Row>> {
    let names = cast(batch.column(0), &DataType::Utf8)?;
    let names = names.as_string::<i32>();
    let all = batch
        .column(1)
        .as_struct_opt()
        .context("the screening came back in another shape")?;
    let rows = (0..all.len()).map(|row| Row {
        vehicle: names.value(row).to_owned(),
        screening: rows::screening_of(all, row),
    });
    Ok(rows.collect())
}
