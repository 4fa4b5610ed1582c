//! `scrim review`: who is let in.

use std::fs;
use std::io::{Read, Write};
use std::net::TcpStream;
use std::time::{Duration, Instant};

use serde_json::json;

use crate::review::{JSON, Served, house};

#[test]
fn nobody_comes_in_without_the_token_the_address_and_the_page_itself() {
    let house = house(1, 300.0);
    let served = Served::start(&house, "");
    let (host, token) = (&served.host, &served.token);
    assert!(host.starts_with("127.0.0.1:"), "{host}");
    assert_eq!(token.len(), 64);
    let page = served.get(&format!("/{token}/"), "");
    assert_eq!(page.status, 200);
    for header in [
        "Content-Security-Policy: default-src 'none'; script-src 'self'",
        "Cache-Control: no-store",
        "Referrer-Policy: no-referrer",
        "X-Content-Type-Options: nosniff",
    ] {
        assert!(page.text.contains(header), "no {header} in {}", page.text);
    }
    assert!(
        !page.text.contains("http://") && !page.text.contains("https://"),
        "{}",
        page.text
    );

    let almost = format!("{}0", &token[..63]);
    let wrong = if almost == *token {
        format!("{}1", &token[..63])
    } else {
        almost
    };
    for path in ["", "state", "clip/0", "review.js", "answer"] {
        for way in [
            format!("/{path}"),
            format!("/{wrong}/{path}"),
            format!("//{path}"),
            format!("/{token}0/{path}"),
        ] {
            assert_eq!(served.get(&way, "").status, 403, "{way}");
        }
    }
    let state = format!("/{token}/state");
    assert_eq!(served.get(&state, "").status, 200);
    for other in ["localhost", "evil.example", "127.0.0.1", "127.0.0.1:1"] {
        let back = served.send(&format!(
            "GET {state} HTTP/1.1\r\nHost: {other}\r\nConnection: close\r\n\r\n"
        ));
        assert_eq!(back.status, 421, "{other}");
        assert!(back.text.contains("with 127.0.0.1"), "{}", back.text);
    }
    let two = served.send(&format!(
        "GET {state} HTTP/1.1\r\nHost: {host}\r\nHost: evil.example\r\nConnection: close\r\n\r\n"
    ));
    assert_eq!(two.status, 421);
    for (header, status) in [
        (format!("Origin: http://{host}\r\n"), 200),
        ("Origin: http://evil.example\r\n".into(), 403),
        ("Origin: null\r\n".into(), 403),
        (format!("Origin: https://{host}\r\n"), 403),
        ("Sec-Fetch-Site: same-origin\r\n".into(), 200),
        ("Sec-Fetch-Site: none\r\n".into(), 200),
        ("Sec-Fetch-Site: cross-site\r\n".into(), 403),
        ("Sec-Fetch-Site: same-site\r\n".into(), 403),
    ] {
        assert_eq!(served.get(&state, &header).status, status, "{header}");
    }
    assert_eq!(served.get(&format!("/{token}/clip/99999"), "").status, 404);
    assert_eq!(served.get(&format!("/{token}/../../etc/passwd"), "").status, 404);
    let delete = served.send(&format!(
        "DELETE {state} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"
    ));
    assert_eq!(delete.status, 405);

    // An answer that is none, or too long, or a form's, changes nothing.
    let right =
        json!({"after": 0, "clip": 0, "seconds": 1.0, "keys": 1, "answer": {"what": "right"}}).to_string();
    assert_eq!(served.post("Content-Type: text/plain\r\n", &right).status, 415);
    assert_eq!(served.post("", &right).status, 415);
    assert_eq!(
        served
            .post(JSON, &format!("{right}{}", " ".repeat(16 * 1024)))
            .status,
        413
    );
    let chunked = format!(
        "POST /{token}/answer HTTP/1.1\r\nHost: {host}\r\n{JSON}Transfer-Encoding: chunked\r\nConnection: close\r\n\r\n\
         5000\r\n{}\r\n0\r\n\r\n",
        " ".repeat(0x5000)
    );
    assert_eq!(served.send(&chunked).status, 413);
    for body in [
        "",
        "{",
        "[]",
        &right.replace("right", "wrong"),
        &right.replace("\"clip\":0", "\"clip\":7"),
    ] {
        assert_eq!(served.post(JSON, body).status, 400, "{body}");
    }
    let words = json!({"what": "word", "question": "coverage", "word": "unclear"});
    assert_eq!(served.answer(&words).status, 400);
    let nobody = json!({"what": "missed", "screener_id": "x", "user_id": "y", "screen_kind": "handoff", "t_use_s": 1.0});
    assert_eq!(served.answer(&nobody).status, 400);
    assert_eq!(served.state()["lines"], 0);
    assert_eq!(fs::read(house.at("labels/ANN/journal.jsonl")).unwrap(), b"");

    assert_eq!(served.post(JSON, &right).status, 200);
    // The same once more, from a window that does not know of it.
    assert_eq!(served.post(JSON, &right).status, 409);
    assert_eq!(served.state()["lines"], 1);
}

#[test]
fn whoever_lies_or_dawdles_outside_does_not_hold_up_the_page() {
    let house = house(1, 300.0);
    let served = Served::start(&house, "");
    // A length that nobody sends: refused before a byte of it is waited for, and nothing is set aside for it.
    for length in ["99999999999999", "18446744073709551615", "184467440737095516150"] {
        let claim = format!(
            "POST /x/answer HTTP/1.1\r\nHost: {}\r\nContent-Length: {length}\r\n\r\n",
            served.host
        );
        assert_eq!(served.send(&claim).status, 403, "{length}");
        let known = claim.replace("/x/", &format!("/{}/", served.token));
        assert_eq!(served.send(&known).status, 415, "{length}");
        let json = known.replace("\r\n\r\n", &format!("\r\n{JSON}\r\n"));
        assert_eq!(served.send(&json).status, 413, "{length}");
    }
    let long = format!("A: {}\r\n", "x".repeat(20 * 1024));
    assert_eq!(served.get(&format!("/{}/state", served.token), &long).status, 431);
    // Many more than there are threads, silent or half-way through a request.
    let begun = format!("POST /x/answer HTTP/1.1\r\nHost: {}\r\n", served.host);
    let slow: Vec<TcpStream> = (0..150)
        .map(|number| {
            let mut stream = TcpStream::connect(&served.host).unwrap();
            if number % 2 == 0 {
                // The first of them may be gone again by now.
                let _ = stream.write_all(begun.as_bytes());
            }
            stream
        })
        .collect();
    let start = Instant::now();
    for lines in 0..3 {
        assert_eq!(served.state()["lines"], lines);
        assert_eq!(served.answer(&json!({"what": "cannot_tell"})).status, 200);
    }
    assert!(start.elapsed() < Duration::from_secs(4), "{:?}", start.elapsed());
    // Whoever stays silent is sent away.
    let mut last = slow.last().unwrap();
    last.set_read_timeout(Some(Duration::from_secs(15))).unwrap();
    let mut bytes = Vec::new();
    last.read_to_end(&mut bytes).unwrap();
    assert!(
        String::from_utf8_lossy(&bytes).starts_with("HTTP/1.1 408"),
        "{bytes:?}"
    );
}
