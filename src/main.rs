//! The command `lustrum`.

fn main() -> std::process::ExitCode {
    lustrum::commands::run()
}
