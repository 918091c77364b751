//! Parses the command line, runs, reports.

fn main() {}
