//! An import is killed in the middle: nothing of its file is there, or all of it; imported again, all of it is, once.
//!
//! On PostgreSQL it is the command that is killed, not the database.

use std::process::{Command, Stdio};
use std::time::Duration;

use crate::support::database::{Backend, TestDatabase, on_both};

const ROWS: usize = 4_000;

on_both!(a_killed_import_leaves_all_or_nothing);

fn a_killed_import_leaves_all_or_nothing(backend: Backend) {
    let database = TestDatabase::new(backend);
    let folder = tempfile::tempdir().unwrap();
    let lustrum = |args: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_lustrum"));
        command
            .args(args)
            .current_dir(folder.path())
            .env("LUSTRUM_DATABASE", &database.url)
            .env("LUSTRUM_PASSWORD", "long enough for you")
            .stdin(Stdio::null())
            .stdout(Stdio::null());
        command
    };
    let done = |args: &[&str]| {
        let output = lustrum(args).stdout(Stdio::piped()).output().unwrap();
        assert!(output.status.success(), "{args:?}: {}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap()
    };
    done(&["init", "--shop", "Quayside", "--email", "ines@quayside.example"]);
    let rows: String = (0..ROWS).map(|n| format!("V-{n},QC {n}\n")).collect();
    std::fs::write(folder.path().join("vehicles.csv"), format!("ref,plate\n{rows}")).unwrap();
    done(&["import", "vehicles", "vehicles.csv"]);
    let row = |n: usize| format!("S-{n},V-{n},2025-03-{:02},inspection,{}\n", 1 + n % 28, 1_000 + n);
    let rows: String = (0..ROWS).map(row).collect();
    std::fs::write(folder.path().join("services.csv"), format!("ref,vehicle,on,service,km\n{rows}")).unwrap();
    // How long it takes undisturbed is not known: the delays reach from its very beginning far into it.
    let mut cut_off = 0;
    for round in 0..6_u64 {
        let mut import = lustrum(&["import", "services", "services.csv"]).spawn().unwrap();
        std::thread::sleep(Duration::from_millis(60 + 170 * round));
        import.kill().unwrap();
        let ended = import.wait().unwrap();
        cut_off += usize::from(!ended.success());
        let written = done(&["export", "papers"]);
        let services = written.lines().find(|line| line.starts_with("services")).unwrap();
        let there = services.contains(&format!("  {ROWS} rows"));
        assert!(there || services.contains("  0 rows"), "{services}");
        if there {
            break;
        }
    }
    assert!(cut_off > 0, "no import was killed in its middle");
    let last = done(&["import", "services", "services.csv"]);
    assert!(last.contains(&format!("{ROWS} rows")), "{last}");
    assert!(done(&["export", "papers"]).contains(&format!("services.csv  {ROWS} rows")));
    assert!(done(&["import", "services", "services.csv"]).contains(&format!("0 added, {ROWS} unchanged")));
}
