//! The least that any server built on axum costs: a constant of so many bytes, to compare
//! `tools/measure/sheet_load.mjs` with.

#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a program that measures"
)]

use axum::Router;
use axum::http::header;
use axum::routing::post;

#[tokio::main]
async fn main() {
    let size = std::env::args().nth(1).and_then(|text| text.parse().ok());
    let body = "x".repeat(size.unwrap_or(4096));
    let answer = move |_: axum::body::Bytes| {
        let body = body.clone();
        async move { ([(header::CONTENT_TYPE, "application/json")], body) }
    };
    let listener = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    listener.set_nonblocking(true).unwrap();
    println!("http://{}/", listener.local_addr().unwrap());
    let service = Router::new().route("/", post(answer)).into_make_service();
    axum_server::from_tcp(listener)
        .unwrap()
        .serve(service)
        .await
        .unwrap();
}
