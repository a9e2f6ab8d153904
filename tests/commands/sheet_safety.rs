//! `fixtally sheet`: who is let in, what is refused, and what no answer ever tells.

use super::sheet_server::Server;
use crate::case::Case;
use serde_json::json;

const JSON: &str = "Content-Type: application/json";
const TOKEN: &str = "0123456789abcdef0123";

#[test]
fn strangers_are_refused_and_answers_tell_nothing_of_the_machine() {
    let case = Case::warm_demo();
    let server = Server::start(&case, &[]);
    let big = "x".repeat(70_000);
    let long = json!({"line": "y".repeat(5_000), "on": 0}).to_string();
    let id = server.begin();
    let lines = format!("/api/cases/{id}/lines");
    for (method, path, headers, body, status) in [
        // A name that somebody else points here.
        ("GET", "/", &["Host: evil.example.org"][..], "", 421),
        (
            "GET",
            "/api/desk",
            &["Host: 127.0.0.1.evil.example.org:80"],
            "",
            421,
        ),
        ("GET", "/api/desk", &["Host: localhost:1"], "", 200),
        // Pages of elsewhere neither write nor read; a link from elsewhere leads here.
        (
            "POST",
            "/api/cases",
            &[JSON, "Origin: http://evil.example.org"],
            "{}",
            403,
        ),
        ("POST", "/api/cases", &[JSON, "Origin: null"], "{}", 403),
        (
            "POST",
            "/api/cases",
            &[JSON, "Sec-Fetch-Site: same-site"],
            "{}",
            403,
        ),
        (
            "GET",
            "/api/desk",
            &["Sec-Fetch-Site: cross-site", "Sec-Fetch-Mode: cors"],
            "",
            403,
        ),
        (
            "GET",
            "/articles",
            &["Sec-Fetch-Site: cross-site", "Sec-Fetch-Mode: navigate"],
            "",
            200,
        ),
        // Forms cannot send JSON.
        (
            "POST",
            "/api/cases",
            &["Content-Type: text/plain"],
            "{}",
            415,
        ),
        ("POST", "/api/cases", &[], "{}", 415),
        ("POST", "/api/cases", &[JSON], &big, 413),
        ("POST", "/api/cases", &[JSON], "{", 400),
        ("POST", "/api/cases", &[JSON], "{\"x\":1}", 400),
        ("POST", &lines, &[JSON], &long, 400),
        ("POST", &lines, &[JSON], "{\"line\":\"\",\"on\":0}", 400),
        (
            "POST",
            "/api/remarks",
            &[JSON],
            "{\"text\":\"x\",\"article\":\"none-such\"}",
            400,
        ),
        // Nothing outside the knowledge base, and no file of it but pictures that articles show.
        ("GET", "/pictures/kb.toml", &[], "", 404),
        ("GET", "/pictures/../kb.toml", &[], "", 404),
        ("GET", "/pictures/..%2f..%2fetc%2fpasswd.svg", &[], "", 404),
        ("GET", "/pictures/.state/ledger.sqlite", &[], "", 404),
        ("GET", "/page/..%2fopenapi.json", &[], "", 404),
        ("GET", "/api/cases/..%2f..%2fkb", &[], "", 404),
        ("GET", "/api/cases/C-000000-1", &[], "", 404),
        ("GET", "/api/cases/%ff", &[], "", 400),
        ("GET", "/api/articles/none-such", &[], "", 404),
        ("GET", "/api/changes?after=x", &[], "", 400),
        ("DELETE", "/api/desk", &[], "", 405),
        ("GET", "/none", &[], "", 404),
    ] {
        let answer = server.ask(method, path, headers, body);
        assert_eq!(
            answer.status, status,
            "{method} {path} {headers:?}: {}",
            answer.body
        );
        let told = format!("{}\n{}", answer.head, answer.body);
        for secret in [case.path("").to_str().unwrap(), "src/", "panicked", ".rs:"] {
            assert!(
                !told.contains(secret),
                "`{secret}` in the answer to {method} {path}:\n{told}"
            );
        }
        for says in [
            "content-security-policy: default-src 'none'; script-src 'self'",
            "x-content-type-options: nosniff",
            "referrer-policy: no-referrer",
        ] {
            assert!(
                answer.head.contains(says),
                "no `{says}` for {method} {path}"
            );
        }
    }
    for garbage in [
        &b"\x16\x03\x01\x02\x00\x01\x00"[..],
        b"GET\r\n\r\n",
        b"GET / HTTP/1.1\r\nX: \xff\xff\r\n\r\n",
    ] {
        let _ = server.raw(garbage);
    }
    assert_eq!(server.get("/health").is(200)["status"], "ok");
}

#[test]
fn every_request_needs_the_token_where_there_is_one() {
    let case = Case::warm_demo().file("token", format!("{TOKEN}\n"));
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let own = std::fs::Permissions::from_mode(0o600);
        std::fs::set_permissions(case.path("token"), own).unwrap();
    }
    let server = Server::start(&case, &["--token-file", "token"]);
    let bearer = format!("Authorization: Bearer {TOKEN}");
    for path in [
        "/",
        "/api/desk",
        "/health",
        "/metrics",
        "/openapi.json",
        "/articles/x",
        "/none",
    ] {
        let refused = server.get(path);
        assert_eq!(refused.status, 401, "{path}");
        assert!(refused.head.contains("www-authenticate: bearer"), "{path}");
        assert_eq!(
            server
                .ask("GET", path, &["Authorization: Bearer wrong"], "")
                .status,
            401
        );
        assert_ne!(
            server.ask("GET", path, &[&bearer], "").status,
            401,
            "{path}"
        );
    }
    let page = server.ask("GET", "/", &["Accept: text/html"], "");
    assert!(page.body.contains("Sign in"), "{}", page.body);
    let wrong = server.post("/sign-in", &json!({"token": "wrong"}));
    assert_eq!(wrong.status, 401);
    let right = server.post("/sign-in", &json!({"token": TOKEN}));
    assert_eq!(right.status, 204);
    let cookie = right
        .head
        .lines()
        .find(|l| l.starts_with("set-cookie: "))
        .unwrap();
    for says in ["httponly", "samesite=strict"] {
        assert!(cookie.contains(says), "{cookie}");
    }
    assert!(!cookie.contains(TOKEN));
    let value = cookie["set-cookie: ".len()..].split(';').next().unwrap();
    let signed_in = server.ask("GET", "/api/desk", &[&format!("Cookie: {value}")], "");
    assert_eq!(signed_in.status, 200);
}

#[test]
fn other_machines_need_a_token_encryption_and_a_name() {
    let case = Case::demo()
        .file("token", format!("{TOKEN}\n"))
        .file("short", "short\n");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        for name in ["token", "short"] {
            let own = std::fs::Permissions::from_mode(0o600);
            std::fs::set_permissions(case.path(name), own).unwrap();
        }
    }
    let all = ["sheet", "--listen", "0.0.0.0:0"];
    for (more, why, hint) in [
        (
            &[][..],
            "can be reached from other machines",
            "--token-file",
        ),
        (
            &["--token-file", "token"],
            "nothing is encrypted",
            "--tls CERT KEY",
        ),
        (
            &["--token-file", "token", "--behind-proxy"],
            "any name",
            "--name",
        ),
        (
            &["--token-file", "short", "--behind-proxy", "--name", "x"],
            "shorter than 16",
            "openssl rand",
        ),
        (
            &["--token-file", "none", "--behind-proxy", "--name", "x"],
            "cannot read",
            "",
        ),
    ] {
        let ran = case.run(&[&all, more].concat()).exits(2);
        ran.complains(why).complains(hint);
    }
}

#[test]
fn a_hostile_article_is_shown_and_does_nothing() {
    let hostile = "---\nid: hostile\ntitle: <img src=x onerror=alert(1)>\nsymptoms:\n  - purple smoke signals\n---\n\
        <script>alert(1)</script>\n\n[x](javascript:alert(1)) <a href=\"javascript:alert(1)\" onclick=\"alert(1)\">y</a>\n\n\
        ## Fix: Turn it off {#off kind=restart minutes=5 who=caller}\n1. <b onmouseover=alert(1)>Off</b>.\n\nDone when: it is off.\n";
    let case = Case::warm_demo().file("kb/articles/power/hostile.md", hostile);
    let server = Server::start(&case, &[]);
    let read = server.get("/api/articles/hostile").is(200);
    let intro = read["html"]["intro"].as_str().unwrap().to_lowercase();
    for bad in ["<script", "<a href=\"javascript", "<a href", "<img"] {
        assert!(!intro.contains(bad), "{bad} in {intro}");
    }
    assert!(intro.contains("&lt;script&gt;"), "{intro}");
    let piece = read["html"]["pieces"]["hostile#off"].as_str().unwrap();
    assert!(!piece.contains("<b "), "{piece}");
}

#[cfg(unix)]
#[test]
fn asked_to_stop_it_lets_those_who_wait_go() {
    let case = Case::warm_demo();
    let server = Server::start(&case, &[]);
    let version = server.get("/health").is(200)["version"].clone();
    std::thread::scope(|scope| {
        let waits = scope.spawn(|| server.get(&format!("/api/changes?after={version}")).status);
        std::thread::sleep(std::time::Duration::from_millis(300));
        let other = Server::start(&case, &[]);
        assert_eq!(other.stop(), 0);
        // The one that others wait at lets them go, answered.
        server.write(&server.begin(), 0, "display dark").is(200);
        assert_eq!(waits.join().unwrap(), 200);
    });
    assert_eq!(server.stop(), 0);
}

#[test]
fn no_log_line_holds_a_callers_words() {
    let case = Case::warm_demo();
    let log = std::fs::File::create(case.path("log")).unwrap();
    let server = Server::start_logging(&case, log);
    let words = "zanzibar lamp dark, write to mia.zwick@example.org";
    let peek = json!({"seq": 1, "line": words});
    server.post("/api/cases/new/peek", &peek).is(200);
    let id = server.begin();
    let state = server.write(&id, 0, words).is(200);
    // Nor does anything keep what names a person.
    assert!(!state.to_string().contains("mia.zwick"), "{state}");
    server.write(&id, 1, "something else fixed it").is(200);
    let asked = format!("/api/articles/none-zanzibar?q={}", words.replace(' ', "+"));
    assert_eq!(server.get(&asked).status, 404);
    drop(server);
    let log = std::fs::read_to_string(case.path("log")).unwrap();
    assert!(log.lines().count() > 4, "{log}");
    for line in log.lines().filter(|line| line.starts_with('{')) {
        serde_json::from_str::<serde_json::Value>(line).unwrap();
    }
    for word in ["zanzibar", "mia", "example.org"] {
        assert!(!log.contains(word), "`{word}` in\n{log}");
    }
    for entry in walkdir::WalkDir::new(case.path("kb/.state/cases"))
        .into_iter()
        .flatten()
    {
        let text = std::fs::read_to_string(entry.path()).unwrap_or_default();
        assert!(!text.contains("mia.zwick"), "{}", entry.path().display());
    }
}

#[test]
fn a_ledger_that_cannot_be_written_keeps_the_case_and_tells_no_path() {
    let case = Case::warm_demo();
    let server = Server::start(&case, &[]);
    let id = server.begin();
    server
        .write(&id, 0, "breaker trips as soon as the car is plugged in")
        .is(200);
    let ledger = case.path("kb/.state/ledger.sqlite");
    std::fs::rename(&ledger, case.path("aside")).unwrap();
    std::fs::create_dir(&ledger).unwrap();
    let refused = server.write(&id, 1, "fixed 1");
    assert!(refused.body.contains("log says why"), "{}", refused.body);
    assert!(!refused.body.contains("ledger.sqlite"), "{}", refused.body);
    std::fs::remove_dir(&ledger).unwrap();
    std::fs::rename(case.path("aside"), &ledger).unwrap();
    let seen = server.get(&format!("/api/cases/{id}")).is(200);
    assert_eq!(seen["on"], 2);
    let closed = server.write(&id, 2, "close").is(200);
    assert_eq!(closed["closed"]["ticket"], json!(id));
}

/// Loading takes seconds; that another sheet has the port is said before.
#[test]
fn a_port_in_use_is_said_before_anything_is_loaded() {
    let taken = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let address = taken.local_addr().unwrap().to_string();
    // What cannot be loaded would be told otherwise.
    let case = Case::new().file("kb/kb.toml", "name = 7\n");
    case.run(&["sheet", "--listen", &address])
        .exits(2)
        .complains(&format!("cannot listen at {address}"));
}
