//! Arguments in, exit code out.

fn main() -> std::process::ExitCode {
    sandarac::cli::run()
}
