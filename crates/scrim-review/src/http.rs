//! A request of HTTP/1.1 off a stream: head first, body when it is asked for, and neither longer nor slower than it may be. Nothing is
//! set aside for a length that a client only claims.

use std::io::{self, Read, Write};
use std::net::{Shutdown, TcpStream};
use std::time::{Duration, Instant};

use chrono::Utc;

/// The longest head of a request, bytes.
const MOST_HEAD: usize = 16 * 1024;
/// The most headers of a request; browsers send some fifteen.
const MOST_HEADERS: usize = 64;
/// The longest answer, bytes.
const MOST_BODY: usize = 16 * 1024;
/// The longest line that says how long a chunk is, bytes.
const MOST_CHUNK_LINE: usize = 64;
/// A client may be silent for so long.
const SILENT: Duration = Duration::from_secs(5);
/// A whole request may take so long.
const REQUEST: Duration = Duration::from_secs(10);
/// What a refused client still sends is taken in, up to so much and for so long: it would not read the refusal otherwise.
const DRAINED: (usize, Duration) = (256 * 1024, Duration::from_millis(300));

/// Why a request cannot be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Bad {
    /// The client has gone away, or is none.
    Gone,
    /// It was too slow.
    Slow,
    /// Its head is too long.
    LongHead,
    /// Its body is too long.
    LongBody,
    /// It is no HTTP.
    Garbled,
}

/// The head of a request.
#[derive(Debug)]
pub(crate) struct Head {
    pub(crate) method: String,
    pub(crate) target: String,
    headers: Vec<(String, String)>,
}

impl Head {
    /// The values of a header.
    pub(crate) fn header<'h>(&'h self, name: &'static str) -> impl Iterator<Item = &'h str> {
        let named = self
            .headers
            .iter()
            .filter(move |(header, _)| header.eq_ignore_ascii_case(name));
        named.map(|(_, value)| value.as_str())
    }
}

/// A client.
pub(crate) struct Client {
    stream: TcpStream,
    /// What came in and was not yet taken.
    held: Vec<u8>,
    until: Instant,
}

impl Client {
    pub(crate) fn new(stream: TcpStream) -> Self {
        Self {
            stream,
            held: Vec::new(),
            until: Instant::now() + REQUEST,
        }
    }

    /// The head of its request.
    pub(crate) fn head(&mut self) -> Result<Head, Bad> {
        loop {
            let mut headers = [httparse::EMPTY_HEADER; MOST_HEADERS];
            let mut request = httparse::Request::new(&mut headers);
            match request.parse(&self.held) {
                Ok(httparse::Status::Complete(length)) if length <= MOST_HEAD => {
                    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
                    let head = Head {
                        method: request.method.unwrap_or_default().to_owned(),
                        target: request.path.unwrap_or_default().to_owned(),
                        headers: request
                            .headers
                            .iter()
                            .map(|header| (header.name.to_owned(), text(header.value)))
                            .collect(),
                    };
                    self.held.drain(..length);
                    return Ok(head);
                }
                Ok(httparse::Status::Partial) if self.held.len() <= MOST_HEAD => self.more()?,
                Ok(_) | Err(httparse::Error::TooManyHeaders) => return Err(Bad::LongHead),
                Err(_) => return Err(Bad::Garbled),
            }
        }
    }

    /// The body of its request.
    pub(crate) fn body(&mut self, head: &Head) -> Result<Vec<u8>, Bad> {
        let lengths: Vec<&str> = head.header("Content-Length").collect();
        let encodings: Vec<&str> = head.header("Transfer-Encoding").collect();
        let is_chunked = match (lengths.as_slice(), encodings.as_slice()) {
            (_, []) => false,
            ([], [one]) if one.eq_ignore_ascii_case("chunked") => true,
            // Two lengths of one body: whoever passed it on may have taken the other.
            _ => return Err(Bad::Garbled),
        };
        let length = match lengths.as_slice() {
            [] => 0,
            [one] => whole_number(one)?,
            _ => return Err(Bad::Garbled),
        };
        if length > MOST_BODY {
            return Err(Bad::LongBody);
        }
        if head
            .header("Expect")
            .any(|expected| expected.eq_ignore_ascii_case("100-continue"))
        {
            let go_on = self.stream.write_all(b"HTTP/1.1 100 Continue\r\n\r\n");
            go_on.map_err(|_| Bad::Gone)?;
        }
        if is_chunked {
            self.chunks()
        } else {
            self.take(length)
        }
    }

    /// The next bytes, so many.
    fn take(&mut self, length: usize) -> Result<Vec<u8>, Bad> {
        while self.held.len() < length {
            self.more()?;
        }
        Ok(self.held.drain(..length).collect())
    }

    fn chunks(&mut self) -> Result<Vec<u8>, Bad> {
        let mut body = Vec::new();
        loop {
            let (line, size) = loop {
                match httparse::parse_chunk_size(&self.held) {
                    Ok(httparse::Status::Complete(found)) => break found,
                    Ok(httparse::Status::Partial) if self.held.len() <= MOST_CHUNK_LINE => self.more()?,
                    Ok(httparse::Status::Partial) | Err(_) => return Err(Bad::Garbled),
                }
            };
            let size = usize::try_from(size).map_err(|_| Bad::LongBody)?;
            if size > MOST_BODY - body.len() {
                return Err(Bad::LongBody);
            }
            self.held.drain(..line);
            // What may follow the last one says nothing here.
            if size == 0 {
                return Ok(body);
            }
            body.extend(self.take(size)?);
            if self.take(2)? != b"\r\n" {
                return Err(Bad::Garbled);
            }
        }
    }

    /// Waits for more.
    fn more(&mut self) -> Result<(), Bad> {
        let left = self.until.saturating_duration_since(Instant::now());
        if left.is_zero() {
            return Err(Bad::Slow);
        }
        let timeout = Some(left.min(SILENT));
        self.stream.set_read_timeout(timeout).map_err(|_| Bad::Gone)?;
        let mut bytes = [0; 4096];
        match self.stream.read(&mut bytes) {
            Ok(0) => Err(Bad::Gone),
            Ok(read) => {
                self.held.extend_from_slice(&bytes[..read]);
                Ok(())
            }
            Err(error) if error.kind() == io::ErrorKind::Interrupted => Ok(()),
            Err(error) if matches!(error.kind(), io::ErrorKind::WouldBlock | io::ErrorKind::TimedOut) => {
                Err(Bad::Slow)
            }
            Err(_) => Err(Bad::Gone),
        }
    }

    /// Sends a response, and closes. A browser that has gone away needs none.
    pub(crate) fn send<'h>(
        mut self,
        status: u16,
        headers: impl Iterator<Item = (&'h str, &'h str)>,
        body: &[u8],
    ) -> io::Result<()> {
        let mut text = format!("HTTP/1.1 {status} {}\r\n", reason(status));
        let date = Utc::now().format("%a, %d %b %Y %H:%M:%S GMT").to_string();
        let length = body.len().to_string();
        let own = [
            ("Date", date.as_str()),
            ("Content-Length", &length),
            ("Connection", "close"),
        ];
        let mut add = |name: &str, value: &str| text.extend([name, ": ", value, "\r\n"]);
        own.into_iter().for_each(|(name, value)| add(name, value));
        headers.for_each(|(name, value)| add(name, value));
        text.push_str("\r\n");
        self.stream.set_write_timeout(Some(SILENT))?;
        // In one piece: the second of two would wait for the first to be acknowledged.
        let mut bytes = text.into_bytes();
        bytes.extend_from_slice(body);
        self.stream.write_all(&bytes)?;
        self.stream.shutdown(Shutdown::Write)?;
        self.drain()
    }

    /// Takes in what still comes, and drops it.
    fn drain(&mut self) -> io::Result<()> {
        let (mut left, until) = (DRAINED.0, Instant::now() + DRAINED.1);
        let mut bytes = [0; 4096];
        while left > 0 {
            let time = until.saturating_duration_since(Instant::now());
            if time.is_zero() {
                break;
            }
            self.stream.set_read_timeout(Some(time))?;
            match self.stream.read(&mut bytes)? {
                0 => break,
                read => left = left.saturating_sub(read),
            }
        }
        Ok(())
    }
}

/// Digits alone: `+5` is none.
fn whole_number(text: &str) -> Result<usize, Bad> {
    if text.is_empty() || !text.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err(Bad::Garbled);
    }
    // More digits than a number has are more bytes than a body may have.
    Ok(text.parse().unwrap_or(usize::MAX))
}

fn reason(status: u16) -> &'static str {
    match status {
        200 => "OK",
        400 => "Bad Request",
        403 => "Forbidden",
        404 => "Not Found",
        405 => "Method Not Allowed",
        408 => "Request Timeout",
        409 => "Conflict",
        413 => "Content Too Large",
        415 => "Unsupported Media Type",
        421 => "Misdirected Request",
        431 => "Request Header Fields Too Large",
        507 => "Insufficient Storage",
        _ => "Error",
    }
}

#[cfg(test)]
mod tests {
    use std::net::TcpListener;
    use std::thread;

    use super::*;

    /// What is read of these bytes, sent in pieces of so many.
    fn read(bytes: &[u8], piece: usize) -> Result<(Head, Vec<u8>), Bad> {
        let listener = TcpListener::bind(("127.0.0.1", 0)).unwrap();
        let address = listener.local_addr().unwrap();
        thread::scope(|scope| {
            scope.spawn(move || {
                let mut stream = TcpStream::connect(address).unwrap();
                stream.set_nodelay(true).unwrap();
                for part in bytes.chunks(piece) {
                    // Refused, it may be closed before all of it was sent.
                    if stream.write_all(part).is_err() {
                        return;
                    }
                }
            });
            let mut client = Client::new(listener.accept().unwrap().0);
            let head = client.head()?;
            let body = client.body(&head)?;
            Ok((head, body))
        })
    }

    fn body_of(headers: &str, body: &str) -> Result<String, Bad> {
        let request = format!("POST /t/answer HTTP/1.1\r\n{headers}\r\n{body}");
        [1, 7, 4096]
            .map(|piece| read(request.as_bytes(), piece).map(|(_, body)| String::from_utf8(body).unwrap()))
            .into_iter()
            .reduce(|one, other| {
                assert_eq!(one, other);
                one
            })
            .unwrap()
    }

    #[test]
    fn a_request_comes_in_whatever_pieces_it_has() {
        for piece in [1, 5, 4096] {
            let (head, body) = read(b"GET /a?b HTTP/1.1\r\nHost: x\r\nhost:y\r\n\r\n", piece).unwrap();
            assert_eq!((head.method.as_str(), head.target.as_str()), ("GET", "/a?b"));
            assert_eq!(head.header("HOST").collect::<Vec<_>>(), ["x", "y"]);
            assert_eq!(body, b"");
        }
        assert_eq!(body_of("Content-Length: 5\r\n", "12345").unwrap(), "12345");
        let chunked = "Transfer-Encoding: chunked\r\n";
        assert_eq!(
            body_of(chunked, "3\r\nabc\r\n2\r\nde\r\n0\r\n\r\n").unwrap(),
            "abcde"
        );
    }

    #[test]
    fn what_is_too_long_or_unclear_is_refused() {
        let (chunked, long) = ("Transfer-Encoding: chunked\r\n", MOST_BODY + 1);
        for (headers, body, bad) in [
            (format!("Content-Length: {long}\r\n"), "", Bad::LongBody),
            (format!("Content-Length: {}9\r\n", u64::MAX), "", Bad::LongBody),
            ("Content-Length: -1\r\n".into(), "", Bad::Garbled),
            ("Content-Length: +1\r\n".into(), "1", Bad::Garbled),
            (
                "Content-Length: 1\r\nContent-Length: 2\r\n".into(),
                "1",
                Bad::Garbled,
            ),
            (format!("Content-Length: 1\r\n{chunked}"), "1", Bad::Garbled),
            ("Transfer-Encoding: gzip\r\n".into(), "1", Bad::Garbled),
            (chunked.into(), "ffffffffffffffff\r\n", Bad::LongBody),
            (chunked.into(), "1\r\nabc", Bad::Garbled),
            (chunked.into(), "x\r\n", Bad::Garbled),
            ("Content-Length: 5\r\n".into(), "1234", Bad::Gone),
        ] {
            assert_eq!(body_of(&headers, body), Err(bad), "{headers}{body}");
        }
        let head = |length: usize| format!("GET / HTTP/1.1\r\nA: {}\r\n\r\n", "x".repeat(length));
        assert!(read(head(MOST_HEAD - 100).as_bytes(), 4096).is_ok());
        for garbled in [head(MOST_HEAD), head(MOST_HEAD * 9)] {
            assert_eq!(read(garbled.as_bytes(), 4096).unwrap_err(), Bad::LongHead);
        }
        let many = format!("GET / HTTP/1.1\r\n{}\r\n", "A: x\r\n".repeat(MOST_HEADERS + 1));
        assert_eq!(read(many.as_bytes(), 4096).unwrap_err(), Bad::LongHead);
        assert_eq!(read(b"\x16\x03\x01\x02\x00", 4096).unwrap_err(), Bad::Garbled);
    }
}
