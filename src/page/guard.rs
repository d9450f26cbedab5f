//! Stands at the door: lets requests through to the screens, or sends them away with a plain sentence.
//! Gives the key's cookie to whoever comes by the printed link, and the address without it.
//! What makes a request welcome is `door`.

use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::header::{CONTENT_TYPE, COOKIE, LOCATION, SET_COOKIE};
use axum::http::{HeaderValue, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};

use crate::page::door::{KEY, is_same};
use crate::page::query::Query;
use crate::page::shop::Shop;

/// Lets through who may ask; sets the cookie for whoever comes with the key in the link.
pub(super) async fn guard(State(shop): State<Shop>, request: Request, next: Next) -> Response {
    let door = &shop.door;
    if let Some(why) = door.refuses(request.headers()) {
        return plain(StatusCode::FORBIDDEN, why);
    }
    let Some(key) = &door.key else {
        return next.run(request).await;
    };
    let query = Query::parse(request.uri().query().unwrap_or_default());
    if query.get(KEY).is_some_and(|given| is_same(given, key)) {
        let rest = query.keeping(|flag| flag != KEY).encoded();
        let target = format!("{}?{rest}", request.uri().path());
        let cookie = format!("{KEY}={key}; Path=/; HttpOnly; SameSite=Lax");
        let mut answer = StatusCode::SEE_OTHER.into_response();
        for (name, value) in [(LOCATION, target), (SET_COOKIE, cookie)] {
            if let Ok(value) = HeaderValue::from_str(&value) {
                answer.headers_mut().insert(name, value);
            }
        }
        return answer;
    }
    let has_cookie = request
        .headers()
        .get_all(COOKIE)
        .iter()
        .filter_map(|cookies| cookies.to_str().ok())
        .flat_map(|cookies| cookies.split(';'))
        .filter_map(|cookie| cookie.trim().split_once('='))
        .any(|(name, value)| name == KEY && is_same(value, key));
    if has_cookie {
        next.run(request).await
    } else {
        plain(
            StatusCode::FORBIDDEN,
            "Open this page by the link that `inseam serve` has printed.",
        )
    }
}

/// A plain sentence.
pub(super) fn plain(status: StatusCode, words: &'static str) -> Response {
    let mut answer = Response::new(Body::from(format!("{words}\n")));
    *answer.status_mut() = status;
    answer.headers_mut().insert(
        CONTENT_TYPE,
        HeaderValue::from_static("text/plain; charset=utf-8"),
    );
    answer
}
