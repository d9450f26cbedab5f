//! Takes connections and ends them: time limits for slow clients, a bound on how many, a quiet end on Ctrl-C.
//! Answers are made on a few threads of their own, so that a busy counter neither starves nor swells.
//! Which address gives what is the table below; what it gives is `screens`.

use std::io;
use std::sync::Arc;
use std::time::Duration;

use axum::body::{Body, to_bytes};
use axum::extract::{Path, RawQuery, Request, State};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, LOCATION, REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderName, HeaderValue, StatusCode};
use axum::middleware::{Next, from_fn, from_fn_with_state};
use axum::response::{IntoResponse as _, Response};
use axum::routing::{get, post};
use axum::{Router, serve::ListenerExt as _};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use hyper_util::service::TowerToHyperService;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Semaphore;
use tokio::time::timeout;

use crate::page::Counter;
use crate::page::door::Door;
use crate::page::guard::{guard, plain};
use crate::page::query::Query;
use crate::page::screens::{self, Reply};
use crate::page::shop::Shop;

/// Connections at once; more wait at the door.
const MOST_CONNECTIONS: usize = 512;
/// A request's head must be there within this time; an idle connection is closed after it.
const HEAD_WITHIN: Duration = Duration::from_secs(10);
/// A form must be sent within this time.
const BODY_WITHIN: Duration = Duration::from_secs(10);
/// An answer must be ready within this time, also at the end of a long queue.
const ANSWER_WITHIN: Duration = Duration::from_secs(60);
/// A connection lives no longer: whoever reads an answer drop by drop is cut off.
const CONNECTION_WITHIN: Duration = Duration::from_secs(150);
/// How long open connections may take to finish after Ctrl-C.
const END_WITHIN: Duration = Duration::from_secs(3);
/// Largest body; a form has some hundred bytes.
const LARGEST_BODY: usize = 64 << 10;
/// Largest head of a request.
const LARGEST_HEAD: usize = 32 << 10;

/// Nothing from elsewhere, no script but ours, no style in the page, no frame around it.
const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// Serves the page until Ctrl-C. `listener` is bound already, so that its address can be told before.
///
/// # Errors
/// When the system gives no threads or takes the socket away.
pub fn serve(
    listener: std::net::TcpListener,
    door: Door,
    counter: Arc<dyn Counter>,
) -> io::Result<()> {
    let threads = std::thread::available_parallelism().map_or(2, usize::from);
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(threads.min(4))
        .max_blocking_threads(threads.max(2))
        .enable_all()
        .build()?;
    let shop = Shop {
        counter,
        door: Arc::new(door),
    };
    runtime.block_on(async move {
        listener.set_nonblocking(true)?;
        accept(TcpListener::from_std(listener)?, routes(shop)).await;
        Ok(())
    })
}

async fn accept(listener: TcpListener, routes: Router) {
    // Small answers go out at once.
    let mut listener = listener.tap_io(|stream: &mut TcpStream| {
        let _ = stream.set_nodelay(true);
    });
    let mut http = hyper::server::conn::http1::Builder::new();
    http.timer(TokioTimer::new())
        .header_read_timeout(HEAD_WITHIN)
        .max_buf_size(LARGEST_HEAD);
    let open = GracefulShutdown::new();
    let places = Arc::new(Semaphore::new(MOST_CONNECTIONS));
    let mut end = std::pin::pin!(tokio::signal::ctrl_c());
    loop {
        let place = tokio::select! {
            place = Arc::clone(&places).acquire_owned() => place,
            _ = &mut end => break,
        };
        // axum's listener sleeps over errors such as too many open files, and goes on.
        let (stream, _) = tokio::select! {
            accepted = axum::serve::Listener::accept(&mut listener) => accepted,
            _ = &mut end => break,
        };
        let service = TowerToHyperService::new(routes.clone());
        let connection = open.watch(http.serve_connection(TokioIo::new(stream), service));
        tokio::spawn(async move {
            // Whoever hangs up or is too slow has no use for a message.
            let _ = timeout(CONNECTION_WITHIN, connection).await;
            drop(place);
        });
    }
    let _ = timeout(END_WITHIN, open.shutdown()).await;
}

const TOO_LONG: &str = "That took too long.";

type Screen = fn(&Shop, &Query) -> Reply;

fn routes(shop: Shop) -> Router {
    let screen = |make: Screen| {
        get(
            move |State(shop): State<Shop>, RawQuery(query): RawQuery, request: Request| {
                let path = request.uri().path().to_owned();
                answer(shop, path, query.unwrap_or_default(), make)
            },
        )
    };
    Router::new()
        .route("/", screen(screens::child))
        .route("/size", screen(screens::child))
        .route("/fit", screen(screens::pair))
        .route("/compare", screen(screens::two))
        .route("/rack", screen(screens::rack))
        .route("/book", screen(screens::book))
        .route("/assign", screen(screens::assign))
        .route("/due", screen(screens::due))
        .route("/handover", screen(screens::handover))
        .route(
            "/bike",
            screen(screens::add).merge(form(screens::keep_bike)),
        )
        .route("/record", form(screens::keep_record))
        .route("/rider", form(screens::keep_rider))
        .route("/picture/{kind}", get(picture))
        .route("/assets/{name}", get(asset))
        .fallback(|State(shop): State<Shop>| on_a_thread(move || screens::nowhere(&shop)))
        .layer(from_fn_with_state(shop.clone(), guard))
        .layer(from_fn(bounds))
        .with_state(shop)
}

fn form(make: Screen) -> axum::routing::MethodRouter<Shop> {
    post(move |State(shop): State<Shop>, body: Body| async move {
        let text = match timeout(BODY_WITHIN, to_bytes(body, LARGEST_BODY)).await {
            Ok(Ok(bytes)) => String::from_utf8_lossy(&bytes).into_owned(),
            Ok(Err(_)) => {
                return plain(
                    StatusCode::PAYLOAD_TOO_LARGE,
                    "No form of this page is larger than 64 KiB.",
                );
            }
            Err(_) => return plain(StatusCode::REQUEST_TIMEOUT, TOO_LONG),
        };
        on_a_thread(move || make(&shop, &Query::parse(&text))).await
    })
}

/// A form's address is written anew as the command line would have it, so that it can be kept and sent.
async fn answer(shop: Shop, path: String, query: String, make: Screen) -> Response {
    let query = Query::parse(&query);
    if query.is_of_form() {
        let target = format!("{path}?{}", query.from_form().encoded());
        return (StatusCode::SEE_OTHER, [(LOCATION, target)]).into_response();
    }
    on_a_thread(move || make(&shop, &query)).await
}

async fn picture(
    State(shop): State<Shop>,
    Path(kind): Path<String>,
    RawQuery(query): RawQuery,
) -> Response {
    let query = Query::parse(&query.unwrap_or_default());
    on_a_thread(move || screens::picture(&shop, &kind, &query)).await
}

async fn asset(Path(name): Path<String>) -> Response {
    screens::asset(&name).into_response()
}

/// Makes an answer where it may take its time.
async fn on_a_thread(make: impl FnOnce() -> Reply + Send + 'static) -> Response {
    match tokio::task::spawn_blocking(make).await {
        Ok(reply) => reply.into_response(),
        Err(_) => plain(
            StatusCode::INTERNAL_SERVER_ERROR,
            "The answer could not be made.",
        ),
    }
}

/// The time limit, and the headers that every answer has.
async fn bounds(request: Request, next: Next) -> Response {
    let mut answer = match timeout(ANSWER_WITHIN, next.run(request)).await {
        Ok(answer) => answer,
        Err(_) => plain(StatusCode::REQUEST_TIMEOUT, TOO_LONG),
    };
    let headers = answer.headers_mut();
    for (name, value) in [
        (CONTENT_SECURITY_POLICY, POLICY),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        // Without one, a browser would hide the origin of our own forms.
        (REFERRER_POLICY, "same-origin"),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
        // What is said about a child stays in no cache.
        (CACHE_CONTROL, "no-store"),
    ] {
        headers
            .entry(name)
            .or_insert(HeaderValue::from_static(value));
    }
    answer
}
