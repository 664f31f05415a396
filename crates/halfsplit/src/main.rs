//! The command line: arguments in, text or JSON out, an exit code.
//!
//! The only room that touches files, the environment and the terminal. Everything is written to memory first, so that
//! standard output holds a whole answer or nothing: 0 done, 1 could not do it, 2 bad input. It thinks nothing itself:
//! what it says comes from `engine`.

mod args;
mod card;
mod case;
mod circuits;
mod circuits_check;
mod commands;
mod course;
mod demo;
mod drives;
mod failure;
mod files;
mod findings;
mod fleet;
mod jobs;
mod learnt;
mod page;
mod patience;
mod pdf;
mod picture;
mod practice;
mod serve;
mod settings;
mod suspects;

use clap::Parser;
use desk::{how, show, words};
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments = args::Arguments::parse();
    match commands::run(arguments) {
        Ok(answer) => page::print(&answer),
        Err(failure) => page::complain(&failure),
    }
}
