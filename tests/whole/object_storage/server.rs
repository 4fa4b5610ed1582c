//! A server that speaks S3, and a door before it that counts the requests and does to one of them what networks do.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::Path;
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

/// The server; it ends with this.
pub struct Server {
    child: Child,
    // Its end is the server's.
    _stdin: ChildStdin,
    port: u16,
}

impl Server {
    pub fn start() -> Self {
        let variable = |name: &str| {
            std::env::var_os(name)
                .unwrap_or_else(|| panic!("{name} is not set: run these tests by tests/run"))
        };
        variable("SCRIM_OBJECT_STORAGE");
        let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("reference/s3_server.py");
        let mut child = Command::new(variable("SCRIM_PYTHON"))
            .arg(script)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let stdin = child.stdin.take().unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap())
            .read_line(&mut line)
            .unwrap();
        let port = line.trim().parse().expect("the server says its port");
        Self {
            child,
            _stdin: stdin,
            port,
        }
    }

    /// Puts a folder's files below a name of the bucket.
    pub fn put_folder(&self, folder: &Path, name: &str) {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let name = format!("{name}/{}", path.file_name().unwrap().to_str().unwrap());
            if path.is_dir() {
                self.put_folder(&path, &name);
            } else {
                self.put(&name, &std::fs::read(&path).unwrap());
            }
        }
    }

    pub fn put(&self, name: &str, bytes: &[u8]) {
        let head = format!(
            "PUT /games/{} HTTP/1.1\r\nContent-Type: application/octet-stream\r\nContent-Length: {}\r\n",
            encoded(name),
            bytes.len()
        );
        let (status, _) = self.ask(&head, bytes);
        assert_eq!(status, 200, "{name}");
    }

    /// An object; `None` when it is not there.
    pub fn get(&self, name: &str) -> Option<Vec<u8>> {
        let (status, body) = self.ask(&format!("GET /games/{} HTTP/1.1\r\n", encoded(name)), &[]);
        (status == 200).then_some(body)
    }

    fn ask(&self, head: &str, body: &[u8]) -> (u16, Vec<u8>) {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        let key = "AWS4-HMAC-SHA256 Credential=test/20410101/us-east-1/s3/aws4_request";
        let rest = format!("Host: 127.0.0.1\r\nAuthorization: {key}\r\nConnection: close\r\n\r\n");
        stream.write_all(format!("{head}{rest}").as_bytes()).unwrap();
        stream.write_all(body).unwrap();
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).unwrap();
        let end = answer.windows(4).position(|four| four == b"\r\n\r\n").unwrap() + 4;
        let status = String::from_utf8_lossy(&answer[..end]);
        let status = status.split(' ').nth(1).unwrap().parse().unwrap();
        (status, answer.split_off(end))
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        // Best effort, both.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// A name as a request has it.
fn encoded(name: &str) -> String {
    name.bytes()
        .map(|byte| match byte {
            b'/' | b'-' | b'.' | b'_' => char::from(byte).to_string(),
            _ if byte.is_ascii_alphanumeric() => char::from(byte).to_string(),
            _ => format!("%{byte:02X}"),
        })
        .collect()
}

/// What happens to a request.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// Nothing.
    None,
    /// The one with this number is answered with 500, and never reaches the server.
    Refused(usize),
    /// The one with this number is done, and its answer is lost.
    AnswerLost(usize),
    /// The one with this number gets no answer for longer than anyone waits.
    Hangs(usize),
    /// All from this number on are forbidden: the keys have run out.
    ForbiddenFrom(usize),
}

/// The door; requests are numbered from 1.
pub struct Door {
    pub port: u16,
    fault: Fault,
    count: Arc<AtomicUsize>,
}

impl Door {
    pub fn open(server: &Server, fault: Fault) -> Self {
        let listener = TcpListener::bind(("127.0.0.1", 0)).unwrap();
        let port = listener.local_addr().unwrap().port();
        let (behind, count) = (server.port, Arc::new(AtomicUsize::new(0)));
        let counted = Arc::clone(&count);
        std::thread::spawn(move || {
            for stream in listener.incoming().flatten() {
                let counted = Arc::clone(&counted);
                // A connection that breaks is what this is for.
                std::thread::spawn(move || drop(carry(stream, behind, fault, &counted)));
            }
        });
        Self { port, fault, count }
    }

    /// Whether one of them gets no answer for longer than anyone waits.
    pub fn hangs(&self) -> bool {
        matches!(self.fault, Fault::Hangs(_))
    }

    /// Requests so far.
    pub fn requests(&self) -> usize {
        self.count.load(Ordering::Relaxed)
    }
}

/// One request and its answer, one a connection.
fn carry(mut client: TcpStream, behind: u16, fault: Fault, count: &AtomicUsize) -> std::io::Result<()> {
    let mut reader = BufReader::new(client.try_clone()?);
    let (mut head, mut length) = (String::new(), 0);
    loop {
        let mut line = String::new();
        if reader.read_line(&mut line)? == 0 {
            return Ok(());
        }
        let lower = line.to_ascii_lowercase();
        if let Some(text) = lower.strip_prefix("content-length:") {
            length = text.trim().parse().unwrap_or(0);
        }
        if line == "\r\n" {
            head.push_str("Connection: close\r\n\r\n");
            break;
        }
        if !lower.starts_with("connection:") {
            head.push_str(&line);
        }
    }
    let mut body = vec![0; length];
    reader.read_exact(&mut body)?;
    let number = count.fetch_add(1, Ordering::Relaxed) + 1;
    let refuse = |client: &mut TcpStream, status: &str| {
        client.write_all(
            format!("HTTP/1.1 {status}\r\nContent-Length: 0\r\nConnection: close\r\n\r\n").as_bytes(),
        )
    };
    match fault {
        Fault::Refused(at) if at == number => return refuse(&mut client, "500 Internal Server Error"),
        Fault::ForbiddenFrom(from) if number >= from => return refuse(&mut client, "403 Forbidden"),
        Fault::Hangs(at) if at == number => {
            std::thread::sleep(Duration::from_secs(60));
            return Ok(());
        }
        _ => {}
    }
    let mut server = TcpStream::connect(("127.0.0.1", behind))?;
    server.write_all(head.as_bytes())?;
    server.write_all(&body)?;
    let mut answer = Vec::new();
    server.read_to_end(&mut answer)?;
    if fault == Fault::AnswerLost(number) {
        return Ok(());
    }
    let first = answer.windows(2).position(|two| two == b"\r\n").unwrap_or(0) + 2;
    client.write_all(&answer[..first])?;
    client.write_all(b"Connection: close\r\n")?;
    client.write_all(&answer[first..])
}
