//! `halfsplit-fleet`: the program that screens a fleet; `halfsplit fleet` starts it where it lies beside.
//!
//! Arguments in; words, JSON and a picture out. A cluster's scheduler and executors are the same program, so that all know the same functions.

use anyhow::{Context, Result, bail};
use clap::{Args, Parser, Subcommand};
use fleet::engine::{Executor, Place, Scheduler, executor, scheduler, screen};
use fleet::picture::picture;
use std::io::Write;
use std::net::SocketAddr;
use std::path::PathBuf;
use std::process::ExitCode;

/// Screens the recordings of many vehicles, on this machine or on a cluster
#[derive(Debug, Parser)]
#[command(name = "halfsplit fleet", version)]
struct Arguments {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    /// Names the vehicles whose boost control, charging or cranking drifts from drive to drive before a code sets
    #[command(after_help = "\
A folder for each vehicle, in it recordings of any kind that `halfsplit drive show` reads (.csv .tsv .txt .log .parquet .pq), in any depth.
Drives follow each other by the dates in them, else by their names. From a server, its folders are listed by WebDAV.

Examples:
  halfsplit fleet screen recordings --picture drifting.svg
  halfsplit fleet screen https://store.example/fleet --rate 0.001 --json
  halfsplit fleet screen /shared/recordings --cluster 10.0.0.5:50050")]
    Screen(Screen),
    /// Starts the scheduler of a cluster; on a trusted network only, it asks nobody who they are
    Scheduler(Schedule),
    /// Starts an executor: it reads recordings for the scheduler, under the same path or address as the machine that asks
    Executor(Execute),
}

#[derive(Debug, Args)]
struct Screen {
    /// Folder with a folder for each vehicle, or an address (http, https) of one
    #[arg(value_name = "FOLDER|URL")]
    place: String,
    /// Let the scheduler at this address do it
    #[arg(long, value_name = "HOST:PORT")]
    cluster: Option<String>,
    /// Share of healthy vehicles that may be named by chance
    #[arg(long, value_name = "SHARE", default_value_t = 0.01)]
    rate: f64,
    /// Draws what drifts, as SVG
    #[arg(long, value_name = "FILE")]
    picture: Option<PathBuf>,
    /// For programs; figures are SI
    #[arg(long)]
    json: bool,
    /// Threads on this machine; without it, one for each core
    #[arg(long, value_name = "COUNT")]
    threads: Option<usize>,
}

#[derive(Debug, Args)]
struct Schedule {
    /// Where it listens
    #[arg(long, value_name = "ADDRESS:PORT", default_value = "127.0.0.1:50050")]
    listen: SocketAddr,
    /// Seconds without a word after which an executor is given up and its work shared out anew
    #[arg(long, value_name = "SECONDS", default_value_t = 60)]
    patience: u64,
}

#[derive(Debug, Args)]
struct Execute {
    /// The scheduler
    #[arg(long, value_name = "HOST:PORT", default_value = "127.0.0.1:50050")]
    scheduler: String,
    /// Where it listens; the port after it is taken too
    #[arg(long, value_name = "ADDRESS:PORT", default_value = "127.0.0.1:50051")]
    listen: SocketAddr,
    /// How other machines call this one
    #[arg(long, value_name = "HOST")]
    host: Option<String>,
    /// Recordings read at once; without it, one for each core
    #[arg(long, value_name = "COUNT")]
    slots: Option<usize>,
    /// Where it keeps what it has done until it is fetched
    #[arg(long, value_name = "FOLDER")]
    work: PathBuf,
    /// Seconds from word to word
    #[arg(long, value_name = "SECONDS", default_value_t = 15)]
    heartbeat: u64,
}

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    match run(&arguments.what) {
        Ok(out) => {
            // Whoever reads may have gone away: that is no failure.
            let _ = std::io::stdout().write_all(out.as_bytes());
            ExitCode::SUCCESS
        }
        Err(error) => {
            let _ = writeln!(std::io::stderr(), "error: {error:#}");
            ExitCode::FAILURE
        }
    }
}

fn run(what: &What) -> Result<String> {
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let runtime = |threads: usize| {
        tokio::runtime::Builder::new_multi_thread()
            .worker_threads(threads.max(1))
            .enable_all()
            .build()
    };
    match what {
        What::Screen(wanted) => {
            let own = wanted.threads.unwrap_or(threads).max(1);
            runtime(own)?.block_on(screened(wanted, own))
        }
        What::Scheduler(wanted) => {
            let wanted = Scheduler {
                listen: wanted.listen,
                patience: wanted.patience.max(1),
            };
            runtime(threads)?.block_on(scheduler(&wanted))?;
            Ok(String::new())
        }
        What::Executor(wanted) => {
            let Some((host, port)) = wanted.scheduler.rsplit_once(':') else {
                bail!(
                    "`{}` is no address of a scheduler: for instance 10.0.0.5:50050",
                    wanted.scheduler
                );
            };
            std::fs::create_dir_all(&wanted.work).with_context(|| wanted.work.display().to_string())?;
            let wanted = Executor {
                scheduler: host.to_owned(),
                port: port.parse().with_context(|| format!("`{port}` is no port"))?,
                listen: wanted.listen,
                host: wanted.host.clone(),
                slots: wanted.slots.unwrap_or(threads).max(1),
                work: wanted.work.clone(),
                heartbeat: wanted.heartbeat.max(1),
            };
            runtime(threads)?.block_on(executor(&wanted))?;
            Ok(String::new())
        }
    }
}

async fn screened(wanted: &Screen, threads: usize) -> Result<String> {
    let on = match &wanted.cluster {
        Some(address) => Place::Cluster(address.clone()),
        None => Place::Here(threads),
    };
    let fleet = screen(&wanted.place, wanted.rate, &on).await?;
    let mut out = if wanted.json { fleet.json()? } else { fleet.text() };
    if let Some(file) = &wanted.picture {
        std::fs::write(file, picture(&fleet))
            .with_context(|| format!("`{}` cannot be written", file.display()))?;
        if !wanted.json {
            out = format!("{out}\ndrawn in {}\n", file.display());
        }
    }
    Ok(out)
}
