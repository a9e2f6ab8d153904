//! Figures of the running sheet as Prometheus reads them, its text format 0.0.4: requests by route and
//! status, a histogram of how long they took, cases, tickets.
//!
//! <https://prometheus.io/docs/instrumenting/exposition_formats/>

use super::desk::Figures;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::sync::{Mutex, PoisonError};
use std::time::Duration;

/// Upper ends of the histogram's buckets, in seconds: around the 20, 50 and 100 ms that matter.
const BUCKETS: [f64; 9] = [0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.25, 1.0, 10.0];

/// Figures that grow while the sheet runs.
#[derive(Debug, Default)]
pub struct Metrics {
    routes: Mutex<BTreeMap<String, Route>>,
}

#[derive(Clone, Debug, Default)]
struct Route {
    /// Requests by status.
    statuses: BTreeMap<u16, u64>,
    /// Requests that took no longer than each bucket's end, and longer than the one's before.
    buckets: [u64; BUCKETS.len()],
    count: u64,
    seconds: f64,
}

impl Metrics {
    /// Counts a request.
    pub fn request(&self, route: &str, status: u16, took: Duration) {
        let seconds = took.as_secs_f64();
        let mut routes = self.routes.lock().unwrap_or_else(PoisonError::into_inner);
        let route = routes.entry(route.to_owned()).or_default();
        *route.statuses.entry(status).or_default() += 1;
        if let Some(at) = BUCKETS.iter().position(|end| seconds <= *end) {
            route.buckets[at] += 1;
        }
        route.count += 1;
        route.seconds += seconds;
    }

    /// All figures as text.
    #[must_use]
    pub fn text(&self, figures: Figures) -> String {
        let routes = self
            .routes
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .clone();
        let mut out = String::new();
        heading(
            &mut out,
            "requests_total",
            "counter",
            "Requests by route and status.",
        );
        for (name, route) in &routes {
            for (status, count) in &route.statuses {
                let _ = writeln!(
                    out,
                    "fixtally_requests_total{{route=\"{name}\",status=\"{status}\"}} {count}"
                );
            }
        }
        heading(
            &mut out,
            "request_seconds",
            "histogram",
            "How long requests took.",
        );
        for (name, route) in &routes {
            histogram(&mut out, name, route);
        }
        for (name, kind, what, value) in [
            ("open_cases", "gauge", "Cases in hand.", figures.open_cases),
            (
                "closed_cases_total",
                "counter",
                "Cases closed since the start.",
                figures.closed_cases,
            ),
            (
                "tickets",
                "gauge",
                "Tickets that answers rest on.",
                figures.tickets,
            ),
            ("articles", "gauge", "Articles served.", figures.articles),
        ] {
            heading(&mut out, name, kind, what);
            let _ = writeln!(out, "fixtally_{name} {value}");
        }
        out
    }
}

fn heading(out: &mut String, name: &str, kind: &str, what: &str) {
    let _ = writeln!(
        out,
        "# HELP fixtally_{name} {what}\n# TYPE fixtally_{name} {kind}"
    );
}

fn histogram(out: &mut String, name: &str, route: &Route) {
    let mut so_far = 0;
    for (end, count) in BUCKETS.iter().zip(route.buckets) {
        so_far += count;
        let _ = writeln!(
            out,
            "fixtally_request_seconds_bucket{{route=\"{name}\",le=\"{end}\"}} {so_far}"
        );
    }
    let _ = writeln!(
        out,
        "fixtally_request_seconds_bucket{{route=\"{name}\",le=\"+Inf\"}} {}",
        route.count
    );
    let _ = writeln!(
        out,
        "fixtally_request_seconds_sum{{route=\"{name}\"}} {:.6}",
        route.seconds
    );
    let _ = writeln!(
        out,
        "fixtally_request_seconds_count{{route=\"{name}\"}} {}",
        route.count
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn buckets_add_up() {
        let metrics = Metrics::default();
        for ms in [1, 4, 30, 30_000] {
            metrics.request("/api/desk", 200, Duration::from_millis(ms));
        }
        let text = metrics.text(Figures {
            tickets: 7,
            ..Figures::default()
        });
        for line in [
            "fixtally_requests_total{route=\"/api/desk\",status=\"200\"} 4",
            "fixtally_request_seconds_bucket{route=\"/api/desk\",le=\"0.005\"} 2",
            "fixtally_request_seconds_bucket{route=\"/api/desk\",le=\"10\"} 3",
            "fixtally_request_seconds_bucket{route=\"/api/desk\",le=\"+Inf\"} 4",
            "fixtally_request_seconds_sum{route=\"/api/desk\"} 30.035000",
            "fixtally_tickets 7",
        ] {
            assert!(text.lines().any(|one| one == line), "no {line} in\n{text}");
        }
    }
}
