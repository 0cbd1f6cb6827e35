//! The services of a Linux desktop that keep a screen lit and a laptop awake, over the bus.
//!
//! Two interfaces are used, as their specifications have them: `org.freedesktop.ScreenSaver`
//! (Idle Inhibition Service, draft) on the bus of the session, and `Inhibit` of
//! `org.freedesktop.login1.Manager` (systemd inhibitor locks) on that of the system.

use std::io::{self, BufRead as _, BufReader, Write as _};
use std::os::linux::net::SocketAddrExt as _;
use std::os::unix::net::{SocketAddr, UnixStream};
use std::path::Path;
use std::time::Duration;

use rustbus::connection::{Timeout, get_session_bus_path, get_system_bus_path};
use rustbus::message_builder::{MarshalledMessage, MessageType};
use rustbus::wire::UnixFd;
use rustbus::{MessageBuilder, RpcConn};

use super::{Grant, WHO, WHY};

/// How long one answer is waited for.
const PATIENCE: Duration = Duration::from_secs(4);

/// Where the service for the screen is found, and under which names.
const SCREEN: [&str; 3] = [
    "org.freedesktop.ScreenSaver",
    "/org/freedesktop/ScreenSaver",
    "org.freedesktop.ScreenSaver",
];
const LOGIN: [&str; 3] = [
    "org.freedesktop.login1",
    "/org/freedesktop/login1",
    "org.freedesktop.login1.Manager",
];

/// The screen stays lit as long as this lives. The service lets go as well where the connection
/// ends, however that comes about.
struct Lit {
    bus: RpcConn,
    cookie: u32,
}

impl Drop for Lit {
    fn drop(&mut self) {
        let mut call = call(SCREEN, "UnInhibit");
        if call.body.push_param(self.cookie).is_ok() {
            let _ = answer(&mut self.bus, &mut call);
        }
    }
}

/// Asks the session's bus to keep the screen lit.
pub(super) fn screen() -> Grant {
    let address = get_session_bus_path().ok()?;
    greeted(address.path(), address.as_abstract()).ok()?;
    lit(RpcConn::connect_to_path(address, Timeout::Duration(PATIENCE)).ok()?)
}

fn lit(mut bus: RpcConn) -> Grant {
    let mut call = call(SCREEN, "Inhibit");
    call.body.push_param2(WHO, WHY).ok()?;
    let cookie = answer(&mut bus, &mut call)?.body.parser().get().ok()?;
    Some(Box::new(Lit { bus, cookie }))
}

/// Asks the system's bus to keep the laptop awake. The lock is an open file: closing it lets go.
pub(super) fn laptop() -> Grant {
    let address = get_system_bus_path().ok()?;
    greeted(address.path(), address.as_abstract()).ok()?;
    held(RpcConn::connect_to_path(address, Timeout::Duration(PATIENCE)).ok()?)
}

/// Whether a bus lets somebody in. The library waits without end for one that does not answer, and
/// turns in a circle where one hangs up instead, so it is sent to those alone that answer.
fn greeted(path: Option<&Path>, hidden: Option<&[u8]>) -> io::Result<()> {
    let mut bus = match (path, hidden) {
        (Some(path), _) => UnixStream::connect(path)?,
        (None, Some(name)) => UnixStream::connect_addr(&SocketAddr::from_abstract_name(name)?)?,
        (None, None) => return Err(io::ErrorKind::NotFound.into()),
    };
    bus.set_read_timeout(Some(PATIENCE))?;
    bus.set_write_timeout(Some(PATIENCE))?;
    bus.write_all(b"\0AUTH EXTERNAL\r\nDATA\r\n")?;
    let mut lines = BufReader::new(bus).lines();
    // `DATA` asks who is there, which the second line answered.
    let answer = lines.find(|line| !line.as_ref().is_ok_and(|line| line.starts_with("DATA")));
    match answer {
        Some(Ok(line)) if line.starts_with("OK") => Ok(()),
        Some(Err(why)) => Err(why),
        _ => Err(io::ErrorKind::PermissionDenied.into()),
    }
}

fn held(mut bus: RpcConn) -> Grant {
    let mut call = call(LOGIN, "Inhibit");
    let what = ("idle:sleep", WHO, WHY, "block");
    call.body.push_param4(what.0, what.1, what.2, what.3).ok()?;
    let lock: UnixFd = answer(&mut bus, &mut call)?.body.parser().get().ok()?;
    Some(Box::new(lock))
}

fn call([at, on, interface]: [&str; 3], member: &str) -> MarshalledMessage {
    MessageBuilder::new()
        .call(member)
        .on(on)
        .with_interface(interface)
        .at(at)
        .build()
}

/// The answer to a call, if it is one and comes in time.
fn answer(bus: &mut RpcConn, call: &mut MarshalledMessage) -> Option<MarshalledMessage> {
    let sent = bus.send_message(call).ok()?;
    let serial = sent
        .write(Timeout::Duration(PATIENCE))
        .map_err(rustbus::connection::ll_conn::force_finish_on_error)
        .ok()?;
    let answer = bus
        .wait_response(serial, Timeout::Duration(PATIENCE))
        .ok()?;
    (answer.typ == MessageType::Reply).then_some(answer)
}

#[cfg(test)]
mod tests {
    use std::os::unix::net::UnixListener;
    use std::process::{Child, Command, Stdio};
    use std::sync::mpsc::{Receiver, Sender, channel};
    use std::thread;

    use rustbus::standard_messages::request_name;

    use super::*;

    /// Whoever accepts and hangs up, at once or after reading, refuses, or talks of something else.
    #[test]
    fn a_bus_that_lets_nobody_in_is_left_alone() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("bus");
        assert!(greeted(Some(&path), None).is_err(), "nothing is there");
        let listener = UnixListener::bind(&path).expect("bound");
        for answer in [
            "",
            "REJECTED EXTERNAL\r\n",
            "DATA\r\n",
            "DATA\r\nREJECTED\r\n",
            "hello\r\n",
            "\r\n",
        ] {
            let server = listener.try_clone().expect("cloned");
            let thread = thread::spawn(move || {
                let (mut stream, _) = server.accept().expect("accepted");
                let _ = stream.write_all(answer.as_bytes());
            });
            assert!(greeted(Some(&path), None).is_err(), "{answer:?}");
            thread.join().expect("done");
        }
    }

    /// A bus of its own, by the reference implementation, that ends with it.
    struct Bus(Child);

    impl Bus {
        /// Nothing where no such program is installed.
        fn begin(at: &Path) -> Option<Self> {
            let mut child = Command::new("dbus-daemon")
                .args(["--session", "--nofork", "--print-address=1"])
                .arg(format!("--address=unix:path={}", at.display()))
                .stdout(Stdio::piped())
                .spawn()
                .ok()?;
            let mut line = String::new();
            let out = child.stdout.as_mut().expect("piped");
            BufReader::new(out)
                .read_line(&mut line)
                .expect("an address");
            Some(Self(child))
        }
    }

    impl Drop for Bus {
        fn drop(&mut self) {
            let _ = self.0.kill();
            let _ = self.0.wait();
        }
    }

    const INSIDE: &str = "MATSIDE_TEST_BUS";

    /// The library takes the address from the environment, so the test is run again in one that has
    /// the address of a bus of its own.
    #[test]
    fn a_real_bus_is_asked_and_let_go_again() {
        if std::env::var_os(INSIDE).is_some() {
            return on_the_bus();
        }
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("bus");
        let Some(_bus) = Bus::begin(&path) else {
            eprintln!("dbus-daemon is not installed: nothing was asked of a real bus");
            return;
        };
        let name = "app::awake::bus::tests::a_real_bus_is_asked_and_let_go_again";
        let again = Command::new(std::env::current_exe().expect("this program"))
            .args(["--exact", name])
            .env(INSIDE, "1")
            .env(
                "DBUS_SESSION_BUS_ADDRESS",
                format!("unix:path={}", path.display()),
            )
            .output()
            .expect("run");
        let told = String::from_utf8_lossy(&again.stdout);
        assert!(
            again.status.success() && told.contains("1 passed"),
            "{told}"
        );
    }

    fn on_the_bus() {
        assert!(screen().is_none(), "nobody has the name");
        let (told, asked) = channel();
        serve("org.freedesktop.ScreenSaver", told);
        let lit = screen().expect("granted");
        assert_eq!(next(&asked), "Inhibit Matside: a class is running");
        drop(lit);
        assert_eq!(next(&asked), "UnInhibit 1");

        let (told, asked) = channel();
        serve("org.freedesktop.login1", told);
        let bus = RpcConn::session_conn(Timeout::Duration(PATIENCE)).expect("a bus");
        let awake = held(bus).expect("granted");
        assert_eq!(
            next(&asked),
            "Inhibit idle:sleep Matside: a class is running (block)"
        );
        assert!(asked.try_recv().is_err(), "the lock is still held");
        drop(awake);
        assert_eq!(next(&asked), "closed");
    }

    fn next(asked: &Receiver<String>) -> String {
        asked.recv().expect("the service is there")
    }

    /// A service of this name on the bus, that tells what is asked of it.
    fn serve(name: &'static str, told: Sender<String>) {
        let mut bus = RpcConn::session_conn(Timeout::Infinite).expect("a bus");
        answer(&mut bus, &mut request_name(name, 0)).expect("the name");
        thread::spawn(move || {
            while let Ok(call) = bus.wait_call(Timeout::Infinite) {
                let mut reply = call.dynheader.make_response();
                let mut words = call.body.parser();
                match call.dynheader.member.as_deref() {
                    Some("Inhibit") if name.ends_with("login1") => {
                        let (what, who, why): (&str, &str, &str) = words.get3().expect("words");
                        let mode: &str = words.get().expect("a mode");
                        let _ = told.send(format!("Inhibit {what} {who}: {why} ({mode})"));
                        let (lock, ours) = UnixStream::pair().expect("a pair");
                        reply
                            .body
                            .push_param(&lock as &dyn std::os::fd::AsRawFd)
                            .expect("a lock");
                        watch(ours, told.clone());
                    }
                    Some("Inhibit") => {
                        let (who, why): (&str, &str) = words.get2().expect("words");
                        let _ = told.send(format!("Inhibit {who}: {why}"));
                        reply.body.push_param(1_u32).expect("a cookie");
                    }
                    _ => {
                        let cookie: u32 = words.get().expect("a cookie");
                        let _ = told.send(format!("UnInhibit {cookie}"));
                    }
                }
                let sent = bus
                    .send_message(&mut reply)
                    .map(|sent| sent.write_all().is_ok());
                assert!(sent.is_ok_and(|sent| sent));
            }
        });
    }

    /// Tells when the other end is closed, as logind notices it.
    fn watch(mut ours: UnixStream, told: Sender<String>) {
        thread::spawn(move || {
            let _ = io::copy(&mut ours, &mut io::sink());
            let _ = told.send("closed".into());
        });
    }
}
