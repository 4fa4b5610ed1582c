//! The door: HTTP on this machine alone, for whoever knows the token.
//!
//! Every request is held against four things before anything is looked up: the `Host` is the address that was printed (so that no other
//! name can be made to lead here), the `Origin` (and what the browser says of where a request comes from) is the page itself, the token is
//! the first part of the path, and a body is small and JSON. No byte of a body is read before the first three are right. A connection is one
//! request; whoever dawdles outside goes when others come.

use std::net::{TcpListener, TcpStream};
use std::sync::{Mutex, PoisonError};
use std::thread;
use std::time::Duration;

use scrim_report::stage_script;
use scrim_season::words::Words;

use crate::ReviewError;
use crate::crowd::{Crowd, Place};
use crate::http::{Bad, Client, Head};
use crate::page::{SCRIPT, STYLE, page};
use crate::shown::Given;
use crate::sitting::{Refusal, Sitting};
use crate::token::Token;

/// When nobody can be taken in, the next try comes so much later: there may be no more files to open.
const AGAIN: Duration = Duration::from_millis(50);

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
    listener: TcpListener,
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
        let refused = |source| ReviewError::Door { port, source };
        let listener = TcpListener::bind(("127.0.0.1", port)).map_err(refused)?;
        let port = listener.local_addr().map_err(refused)?.port();
        Ok(Self {
            listener,
            token,
            port,
        })
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
        let (sitting, crowd) = (&Mutex::new(sitting), &Crowd::default());
        thread::scope(|scope| {
            loop {
                let came = self.listener.accept().and_then(|(stream, _)| {
                    let place = crowd.place(&stream)?;
                    let talk = move || self.talk(stream, &place, sitting);
                    thread::Builder::new().spawn_scoped(scope, talk)
                });
                if came.is_err() {
                    thread::sleep(AGAIN);
                }
            }
        });
    }

    /// One request, and what is sent back.
    fn talk(&self, stream: TcpStream, place: &Place<'_>, sitting: &Mutex<Sitting>) {
        let mut client = Client::new(stream);
        let reply = match self.reply(&mut client, place, sitting) {
            Ok(reply) => reply,
            Err(Bad::Gone) => return,
            Err(Bad::Slow) => Reply::refused(408, "this took too long"),
            Err(Bad::LongHead) => Reply::refused(431, "no request of the page is so long"),
            Err(Bad::LongBody) => Reply::refused(413, "no answer is so long"),
            Err(Bad::Garbled) => Reply::refused(400, "this is no request that is understood"),
        };
        let headers = HEADERS.into_iter().chain([("Content-Type", reply.kind)]);
        // A browser that has gone away needs no answer.
        let _ = client.send(reply.status, headers, &reply.body);
    }

    fn reply(&self, client: &mut Client, place: &Place<'_>, sitting: &Mutex<Sitting>) -> Result<Reply, Bad> {
        let head = client.head()?;
        let path = match self.admit(&head) {
            Ok(path) => path,
            Err(refused) => return Ok(refused),
        };
        place.let_in();
        let body = match (head.method.as_str(), path.as_str()) {
            ("POST", "answer") if !is_json(&head) => return Ok(Reply::refused(415, "an answer is JSON")),
            ("POST", "answer") => client.body(&head)?,
            ("POST", _) => return Ok(Reply::refused(404, "there is nothing of this name")),
            ("GET", _) => Vec::new(),
            _ => return Ok(Reply::refused(405, "only GET and POST are understood")),
        };
        // A panic elsewhere leaves the journal whole: it is written before anything else changes.
        let mut sitting = sitting.lock().unwrap_or_else(PoisonError::into_inner);
        Ok(match path.as_str() {
            "" => Reply::of(200, HTML, page(&sitting)),
            "stage.js" => Reply::of(200, JAVASCRIPT, stage_script(&Words::english())),
            "review.js" => Reply::of(200, JAVASCRIPT, SCRIPT),
            "review.css" => Reply::of(200, "text/css; charset=utf-8", STYLE),
            "state" => json(200, &sitting.state()),
            "answer" if head.method == "POST" => answer(&mut sitting, &body),
            path => {
                let place = path.strip_prefix("clip/").and_then(|place| place.parse().ok());
                match place.and_then(|place| sitting.clip(place)) {
                    Some(clip) => Reply::of(200, JSON, clip),
                    None => Reply::refused(404, "there is nothing of this name"),
                }
            }
        })
    }

    /// The path behind the token, if the request may come in.
    fn admit(&self, head: &Head) -> Result<String, Reply> {
        let hosts: Vec<&str> = head.header("Host").collect();
        if hosts != [self.host().as_str()] {
            return Err(Reply::refused(
                421,
                "this name is not served here: open the address as scrim printed it, with 127.0.0.1",
            ));
        }
        if head.header("Origin").any(|origin| origin != self.origin()) {
            return Err(Reply::refused(403, "only the page itself may ask"));
        }
        // `none` is an address typed by hand.
        if head
            .header("Sec-Fetch-Site")
            .any(|site| site != "same-origin" && site != "none")
        {
            return Err(Reply::refused(403, "only the page itself may ask"));
        }
        let path = head.target.split(['?', '#']).next().unwrap_or_default();
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

fn is_json(head: &Head) -> bool {
    let mut kinds = head.header("Content-Type");
    kinds.any(|kind| kind.split(';').next() == Some(JSON))
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
