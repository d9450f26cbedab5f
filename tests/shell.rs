//! What the program prints for shells and manual readers: completions and pages that know every command.
//! The list of commands is read from `--help`, so a new one cannot be forgotten.

mod common;

use std::process::Command;

use common::program::{file, inseam};

const SHELLS: [&str; 5] = ["bash", "zsh", "fish", "elvish", "powershell"];

fn commands() -> Vec<String> {
    let help = inseam(&["--help"]).out;
    let (_, list) = help.split_once("Commands:\n").unwrap();
    let (list, _) = list.split_once("\n\n").unwrap();
    // Names stand two columns in; wrapped descriptions stand deeper.
    let names = list.lines().filter_map(|line| line.strip_prefix("  "));
    let names = names.filter(|line| !line.starts_with(' '));
    let words: Vec<_> = names
        .map(|line| line.split_whitespace().next().unwrap().to_owned())
        .collect();
    assert!(words.len() >= 9, "{words:?}");
    words
}

#[test]
fn completions_know_every_command_in_every_shell() {
    for shell in SHELLS {
        let ran = inseam(&["completions", shell]);
        assert_eq!((ran.status, ran.err.as_str()), (0, ""), "{shell}");
        for command in commands() {
            assert!(ran.out.contains(&command), "{shell}: {command}");
        }
        assert!(ran.out.contains("arm-reach"), "{shell}: flags");
    }
    let unknown = inseam(&["completions", "tcsh"]);
    assert_eq!(unknown.status, 2);
    for shell in SHELLS {
        assert!(unknown.err.contains(shell), "{}", unknown.err);
    }
}

/// Bash itself: the script loads, and completes a command's beginning to the command.
#[cfg(unix)]
#[test]
fn bash_takes_the_script_and_completes_a_command() {
    let folder = tempfile::tempdir().unwrap();
    let script = inseam(&["completions", "bash"]).out;
    let path = file(folder.path(), "inseam.bash", script);
    let line = "source \"$0\"; COMP_WORDS=(inseam han); COMP_CWORD=1; _inseam inseam han inseam; echo \"${COMPREPLY[@]}\"";
    let ran = Command::new("bash")
        .args(["--norc", "-c", line, &path])
        .output()
        .expect("bash is on every machine that this is built on");
    assert_eq!(String::from_utf8_lossy(&ran.stdout).trim(), "handover");
}

#[test]
fn the_manual_page_names_every_command_and_each_has_its_own() {
    let whole = inseam(&["man"]);
    assert_eq!((whole.status, whole.err.as_str()), (0, ""));
    assert!(whole.out.contains(".TH inseam 1"), "{}", whole.out);
    for command in commands() {
        assert!(
            whole.out.contains(&format!("inseam\\-{command}(1)")),
            "{command}"
        );
        if command == "help" {
            continue;
        }
        let page = inseam(&["man", &command]);
        assert_eq!((page.status, page.err.as_str()), (0, ""), "{command}");
        assert!(
            page.out.contains(&format!(".TH inseam-{command} 1")),
            "{command}"
        );
        // The page says what `--help` says.
        let help = inseam(&[&command, "--help"]).out;
        for word in help.split_whitespace() {
            if let Some(flag) = word.strip_prefix("--") {
                let flag = flag.trim_matches(|c: char| !c.is_ascii_alphanumeric());
                let flag = flag.replace('-', "\\-");
                assert!(page.out.contains(&flag), "{command}: {word}");
            }
        }
    }
    let unknown = inseam(&["man", "paint"]);
    assert_eq!(unknown.status, 1);
    assert!(unknown.err.contains("handover"), "{}", unknown.err);
}
