//! The program itself in a terminal: driven by keys and signals, looked at on its screen.
//!
//! Each test starts the real binary in a pseudo-terminal of its own, with folders of its own. It
//! knows nothing of the program's inside but the format of its records. Nothing here relies on how
//! fast a machine is: every wait is for something to be seen, with a long deadline.
//!
//! Linux only: `/proc` tells how busy a process is.
#![cfg(target_os = "linux")]

mod folders;
mod records;
mod run;

mod colours;
mod comeback;
mod disk;
mod hands;
mod keys;
mod landing;
mod long;
mod picture;
mod plan;
mod resume;
mod signals;
mod sizes;
