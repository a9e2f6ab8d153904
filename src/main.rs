//! The `fixtally` command: parse, run, exit code.

/// See `Cargo.toml` for the reason.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> std::process::ExitCode {
    fixtally::cli::main(std::env::args_os()).into()
}
