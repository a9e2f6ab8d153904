//! The `fixtally` command: parse, run, exit code.

fn main() -> std::process::ExitCode {
    fixtally::cli::main(std::env::args_os()).into()
}
