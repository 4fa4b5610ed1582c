//! The door: HTTP on this machine alone, for whoever knows the token.
//!
//! Every request is held against four things before anything is looked up: the `Host` is the address that was printed (so that no other
//! name can be made to lead here), the `Origin` (and what the browser says of where a request comes from) is the page itself, the token is
//! the first part of the path, and a body is small and JSON.

use std::io::{Cursor, Read};
use std::sync::{Mutex, PoisonError};
use std::thread;

use scrim_report::STAGE_SCRIPT;
use tiny_http::{Header, Method, Request, Response, Server};

use crate::ReviewError;
use crate::page::{SCRIPT, STYLE, page};
use crate::shown::Given;
use crate::sitting::{Refusal, Sitting};
use crate::token::Token;

/// The longest answer, bytes.
const MOST_BODY: usize = 16 * 1024;
/// Requests at once: one that dawdles must not hold up the page.
const THREADS: usize = 4;

/// What every response says: nothing is stored, nothing comes from elsewhere, nobody shows it in a frame.
const HEADERS: [(&str, &str); 8] = [
    ("Cache-Control", "no-store"),
    (
        "Content-Security-Policy",
        "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src data:; base-uri 'none'; \
         form-action 'none'; frame-ancestors 'none'",
    ),
    ("Cross-Origin-Opener-Policy", "same-origin"),
    ("Cross-Origin-Resource-Policy", "same-origin"),
    ("Referrer-Policy", "no-referrer"),
    ("X-Content-Type-Options", "nosniff"),
    ("X-Frame-Options", "DENY"),
    ("Server", "scrim"),
];

const HTML: &str = "text/html; charset=utf-8";
const JSON: &str = "application/json";
const JAVASCRIPT: &str = "text/javascript; charset=utf-8";
const PLAIN: &str = "text/plain; charset=utf-8";

/// An open door.
pub struct Door {
    server: Server,
    token: Token,
    port: u16,
}

/// What is sent back.
struct Reply {
    status: u16,
    kind: &'static str,
    body: Vec<u8>,
}

impl Reply {
    fn of(status: u16, kind: &'static str, body: impl Into<Vec<u8>>) -> Self {
        Self {
            status,
            kind,
            body: body.into(),
        }
    }

    fn refused(status: u16, why: &str) -> Self {
        Self::of(status, PLAIN, format!("{why}\n"))
    }
}

impl Door {
    /// Opens it at a port of this machine; 0 takes a free one.
    ///
    /// # Errors
    /// [`ReviewError`]: the port is taken, or there are no random numbers.
    pub fn open(port: u16) -> Result<Self, ReviewError> {
        let token = Token::new()?;
        let server =
            Server::http(("127.0.0.1", port)).map_err(|source| ReviewError::Door { port, source })?;
        let port = server
            .server_addr()
            .to_ip()
            .map_or(port, |address| address.port());
        Ok(Self { server, token, port })
    }

    /// The address for the browser; whoever knows it may answer.
    pub fn address(&self) -> String {
        format!("{}/{}/", self.origin(), self.token.text())
    }

    fn host(&self) -> String {
        format!("127.0.0.1:{}", self.port)
    }

    fn origin(&self) -> String {
        format!("http://{}", self.host())
    }

    /// Lets requests in until the process ends.
    pub fn serve(&self, sitting: Sitting) {
        let sitting = Mutex::new(sitting);
        thread::scope(|scope| {
            for _ in 0..THREADS {
                scope.spawn(|| {
                    while let Ok(mut request) = self.server.recv() {
                        let reply = self.reply(&mut request, &sitting);
                        send(request, reply);
                    }
                });
            }
        });
    }

    fn reply(&self, request: &mut Request, sitting: &Mutex<Sitting>) -> Reply {
        let path = match self.admit(request) {
            Ok(path) => path,
            Err(refused) => return refused,
        };
        let body = match (request.method(), path.as_str()) {
            (Method::Post, "answer") => match body_of(request) {
                Ok(body) => body,
                Err(refused) => return refused,
            },
            (Method::Post, _) => return Reply::refused(404, "there is nothing of this name"),
            (Method::Get, _) => Vec::new(),
            _ => return Reply::refused(405, "only GET and POST are understood"),
        };
        // A panic elsewhere leaves the journal whole: it is written before anything else changes.
        let mut sitting = sitting.lock().unwrap_or_else(PoisonError::into_inner);
        match path.as_str() {
            "" => Reply::of(200, HTML, page(&sitting)),
            "stage.js" => Reply::of(200, JAVASCRIPT, STAGE_SCRIPT),
            "review.js" => Reply::of(200, JAVASCRIPT, SCRIPT),
            "review.css" => Reply::of(200, "text/css; charset=utf-8", STYLE),
            "state" => json(200, &sitting.state()),
            "answer" if *request.method() == Method::Post => answer(&mut sitting, &body),
            path => {
                let place = path.strip_prefix("clip/").and_then(|place| place.parse().ok());
                match place.and_then(|place| sitting.clip(place)) {
                    Some(clip) => Reply::of(200, JSON, clip),
                    None => Reply::refused(404, "there is nothing of this name"),
                }
            }
        }
    }

    /// The path behind the token, if the request may come in.
    fn admit(&self, request: &Request) -> Result<String, Reply> {
        let hosts: Vec<&str> = header(request, "Host").collect();
        if hosts != [self.host().as_str()] {
            return Err(Reply::refused(421, "this address is not served here"));
        }
        if header(request, "Origin").any(|origin| origin != self.origin()) {
            return Err(Reply::refused(403, "only the page itself may ask"));
        }
        // `none` is an address typed by hand.
        if header(request, "Sec-Fetch-Site").any(|site| site != "same-origin" && site != "none") {
            return Err(Reply::refused(403, "only the page itself may ask"));
        }
        let path = request.url().split(['?', '#']).next().unwrap_or_default();
        let (token, rest) = path
            .strip_prefix('/')
            .and_then(|path| path.split_once('/'))
            .unwrap_or_default();
        if !self.token.is(token) {
            return Err(Reply::refused(
                403,
                "open the whole address that scrim printed: it ends in a token that lets you in",
            ));
        }
        Ok(rest.to_owned())
    }
}

fn header<'r>(request: &'r Request, name: &'static str) -> impl Iterator<Item = &'r str> {
    let headers = request.headers().iter();
    headers
        .filter(move |header| header.field.equiv(name))
        .map(|header| header.value.as_str())
}

/// A body that may be an answer.
fn body_of(request: &mut Request) -> Result<Vec<u8>, Reply> {
    let is_json = header(request, "Content-Type").any(|kind| kind.split(';').next() == Some(JSON));
    if !is_json {
        return Err(Reply::refused(415, "an answer is JSON"));
    }
    let too_long = || Reply::refused(413, "no answer is so long");
    if request.body_length().is_some_and(|length| length > MOST_BODY) {
        return Err(too_long());
    }
    let mut body = Vec::new();
    let most = MOST_BODY as u64 + 1;
    request
        .as_reader()
        .take(most)
        .read_to_end(&mut body)
        .map_err(|_| Reply::refused(400, "the answer broke off"))?;
    if body.len() > MOST_BODY {
        return Err(too_long());
    }
    Ok(body)
}

fn answer(sitting: &mut Sitting, body: &[u8]) -> Reply {
    let given: Given = match serde_json::from_slice(body) {
        Ok(given) => given,
        Err(error) => return Reply::refused(400, &format!("no answer that is understood: {error}")),
    };
    match sitting.answer(given) {
        Ok(state) => json(200, &state),
        Err(refusal) => {
            let status = match &refusal {
                Refusal::Stale => 409,
                Refusal::NoAnswer { .. } => 400,
                Refusal::NotSaved(_) => 507,
            };
            Reply::refused(status, &refusal.to_string())
        }
    }
}

fn json(status: u16, value: &impl serde::Serialize) -> Reply {
    match serde_json::to_vec(value) {
        Ok(body) => Reply::of(status, JSON, body),
        Err(error) => Reply::refused(500, &format!("a fault of the program itself: {error}")),
    }
}

fn send(request: Request, reply: Reply) {
    let length = reply.body.len();
    let pairs = HEADERS.into_iter().chain([("Content-Type", reply.kind)]);
    // All of these are words of this file.
    let headers = pairs.filter_map(|(name, value)| Header::from_bytes(name, value).ok());
    let response = Response::new(
        reply.status.into(),
        headers.collect(),
        Cursor::new(reply.body),
        Some(length),
        None,
    );
    // A browser that has gone away needs no answer.
    let _ = request.respond(response);
}
