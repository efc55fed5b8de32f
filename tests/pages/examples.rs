//! The examples of the documentation, taken out of its pages and run in a shell against the served demo.

use std::io::{BufRead as _, BufReader};
use std::process::{Child, Command, Stdio};

use super::{page, shell};
use crate::support::server::Client;

/// The demo in a folder of its own, served by the command; stopped when it is dropped.
struct Demo {
    child: Child,
    url: String,
    folder: tempfile::TempDir,
}

impl Demo {
    fn start() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut child = Command::new(env!("CARGO_BIN_EXE_lustrum"))
            .args(["demo", "--dir", "demo"])
            .current_dir(folder.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines().map_while(Result::ok);
        let serving = lines.find(|line| line.starts_with("serving at ")).expect("the demo serves");
        // Whatever it says later is of no interest, and must not fill the pipe.
        std::thread::spawn(move || lines.for_each(drop));
        let url = serving.split(' ').nth(2).unwrap().trim_end_matches(',').to_owned();
        Self { child, url, folder }
    }

    /// Runs a script in which a call that is not answered well ends everything; what it printed.
    fn run(&self, name: &str, script: &str) -> String {
        let file = self.folder.path().join(format!("{name}.sh"));
        let strict = "set -euo pipefail\ncurl() { command curl --fail-with-body -sS \"$@\"; }\n";
        std::fs::write(&file, format!("{strict}{script}")).unwrap();
        let ran = Command::new("bash")
            .arg(&file)
            .current_dir(self.folder.path())
            // On a machine for which it is another day than in the shop, but for a few hours in the evening.
            .env("TZ", "Pacific/Kiritimati")
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&ran.stdout).into_owned();
        assert!(ran.status.success(), "{name}:\n{script}\n{said}\n{}", String::from_utf8_lossy(&ran.stderr));
        said
    }
}

impl Drop for Demo {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn every_example_runs_against_the_demo() {
    let demo = Demo::start();
    let client = Client::new(&demo.url, None);
    let contents = page(&client, "/docs").text;
    let chapters: Vec<&str> =
        contents.split("<h2 id=\"").skip(1).map(|rest| rest.split('"').next().unwrap()).collect();
    assert!(chapters.len() >= 11, "{chapters:?}");
    for name in chapters {
        let html = page(&client, &format!("/docs/{name}")).text;
        let blocks = shell(&html);
        assert!(blocks[0].starts_with(&format!("LUSTRUM={}\n", demo.url)), "{name}: {}", blocks[0]);
        // Each chapter is run in a shell of its own: it sets all that it uses.
        let said = demo.run(name, &blocks.concat());
        if name == "ten-calls" {
            let calls: usize =
                blocks[1..blocks.len() - 1].iter().map(|block| block.matches("curl ").count()).sum();
            assert_eq!((blocks.len(), calls), (12, 10), "the ten calls, what comes before and what after");
            assert!(said.contains("\"verify_code\":") && said.contains("in force on paint"), "{said}");
        }
    }
}
