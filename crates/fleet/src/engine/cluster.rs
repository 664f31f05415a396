//! The scheduler and the executors of a cluster, as own processes that know the functions of a screening.

use super::functions;
use anyhow::{Context, Result};
use ballista_core::registry::BallistaFunctionRegistry;
use ballista_core::utils::default_session_builder;
use ballista_executor::executor_process::{ExecutorProcessConfig, start_executor_process};
use ballista_scheduler::cluster::BallistaCluster;
use ballista_scheduler::config::SchedulerConfig;
use ballista_scheduler::scheduler_process::start_server;
use datafusion::execution::FunctionRegistry;
use std::net::SocketAddr;
use std::path::PathBuf;
use std::sync::Arc;

/// Most bytes of a message between the machines: a plan that lists a million recordings.
const LARGEST: u32 = 1 << 29;

/// A scheduler to be started.
#[derive(Debug, Clone)]
pub struct Scheduler {
    /// Where it listens.
    pub listen: SocketAddr,
    /// Seconds without a word after which an executor is given up and its work is shared out anew.
    pub patience: u64,
}

/// An executor to be started.
#[derive(Debug, Clone)]
pub struct Executor {
    /// `host` of the scheduler.
    pub scheduler: String,
    /// And its port.
    pub port: u16,
    /// Where it listens; the port after it is taken too.
    pub listen: SocketAddr,
    /// How other machines call this one; without it, by the address above.
    pub host: Option<String>,
    /// Recordings that are read at once.
    pub slots: usize,
    /// Where it keeps what it has done until it is fetched.
    pub work: PathBuf,
    /// Seconds from word to word.
    pub heartbeat: u64,
}

/// Runs a scheduler until the process ends.
///
/// # Errors
/// The address is taken, or the server stops.
pub async fn scheduler(wanted: &Scheduler) -> Result<()> {
    let builder = |config| {
        let mut state = default_session_builder(config)?;
        state.register_udf(Arc::new(functions::figures()))?;
        state.register_udaf(Arc::new(functions::screened()))?;
        Ok(state)
    };
    let config = SchedulerConfig {
        external_host: wanted.listen.ip().to_string(),
        bind_host: wanted.listen.ip().to_string(),
        bind_port: wanted.listen.port(),
        executor_timeout_seconds: wanted.patience,
        expire_dead_executor_interval_seconds: (wanted.patience / 3).max(1),
        executor_termination_grace_period: wanted.patience.min(30),
        grpc_server_max_decoding_message_size: LARGEST,
        grpc_server_max_encoding_message_size: LARGEST,
        grpc_client_max_message_size: LARGEST,
        override_session_builder: Some(Arc::new(builder)),
        ..SchedulerConfig::default()
    };
    let cluster = BallistaCluster::new_from_config(&config).await?;
    start_server(cluster, wanted.listen, Arc::new(config))
        .await
        .with_context(|| format!("the scheduler at {} stopped", wanted.listen))
}

/// Runs an executor until the process ends.
///
/// # Errors
/// The scheduler is not there, or the address is taken.
pub async fn executor(wanted: &Executor) -> Result<()> {
    let mut functions = BallistaFunctionRegistry::default();
    let (figures, screened) = (Arc::new(functions::figures()), Arc::new(functions::screened()));
    functions
        .scalar_functions
        .insert(figures.name().to_owned(), figures);
    functions
        .aggregate_functions
        .insert(screened.name().to_owned(), screened);
    let config = ExecutorProcessConfig {
        bind_host: wanted.listen.ip().to_string(),
        external_host: Some(
            wanted
                .host
                .clone()
                .unwrap_or_else(|| wanted.listen.ip().to_string()),
        ),
        port: wanted.listen.port(),
        grpc_port: wanted.listen.port().saturating_add(1),
        scheduler_host: wanted.scheduler.clone(),
        scheduler_port: wanted.port,
        scheduler_connect_timeout_seconds: 20,
        vcores: wanted.slots,
        work_dir: Some(wanted.work.to_string_lossy().into_owned()),
        executor_heartbeat_interval_seconds: wanted.heartbeat,
        grpc_max_decoding_message_size: LARGEST,
        grpc_max_encoding_message_size: LARGEST,
        override_function_registry: Some(Arc::new(functions)),
        ..ExecutorProcessConfig::default()
    };
    start_executor_process(Arc::new(config))
        .await
        .with_context(|| format!("the executor for {}:{} stopped", wanted.scheduler, wanted.port))
}
