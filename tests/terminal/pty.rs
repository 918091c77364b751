//! A terminal of a given width to run the program before.

use std::io::Read as _;
use std::os::fd::OwnedFd;
use std::process::{Command, Stdio};

use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};
use rustix::termios::{Winsize, tcsetwinsize};

/// Both ends of a terminal.
pub struct Terminal {
    master: OwnedFd,
    name: std::path::PathBuf,
}

impl Terminal {
    pub fn new(columns: u16) -> Self {
        let master = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY).unwrap();
        grantpt(&master).unwrap();
        unlockpt(&master).unwrap();
        let name = ptsname(&master, Vec::new()).unwrap();
        let name = name.into_string().unwrap().into();
        let size = Winsize {
            ws_row: 40,
            ws_col: columns,
            ws_xpixel: 0,
            ws_ypixel: 0,
        };
        tcsetwinsize(&master, size).unwrap();
        Terminal { master, name }
    }

    /// The end that a program writes to.
    pub fn end(&self) -> Stdio {
        let options = &mut std::fs::OpenOptions::new();
        let file = options.read(true).write(true).open(&self.name).unwrap();
        file.into()
    }

    /// What has been written once nobody can write any more. Call it from a
    /// thread of its own, or when the program has little to say.
    pub fn read(self) -> String {
        let mut all = Vec::new();
        let mut file = std::fs::File::from(self.master);
        let mut block = [0; 4096];
        // Linux ends a terminal whose other end is closed with an error.
        while let Ok(n @ 1..) = file.read(&mut block) {
            all.extend_from_slice(&block[..n]);
        }
        String::from_utf8_lossy(&all).replace("\r\n", "\n")
    }

    /// Reads until a text has been written; gives all that was until then.
    pub fn read_until(&self, text: &str) -> String {
        let mut all = String::new();
        let mut block = [0; 4096];
        while !all.contains(text) {
            match rustix::io::read(&self.master, &mut block[..]) {
                Ok(n @ 1..) => all.push_str(&String::from_utf8_lossy(&block[..n])),
                _ => panic!("the terminal ended before '{text}': {all}"),
            }
        }
        all
    }
}

/// Runs a command with its standard output on a terminal; gives what the
/// terminal shows.
pub fn on_terminal(columns: u16, command: &mut Command) -> String {
    let terminal = Terminal::new(columns);
    let mut child = command
        .stdin(Stdio::null())
        .stdout(terminal.end())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    // The command keeps its own end of the terminal as long as it lives.
    command.stdout(Stdio::null());
    let shown = terminal.read();
    assert!(child.wait().unwrap().success(), "{command:?}\n{shown}");
    shown
}
