//! Listening, until the person ends it.

use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpListener, UdpSocket};
use std::sync::Arc;

use store::open::Store;
use tokio::net::TcpListener as Listener;

use crate::answer::Wrong;
use crate::app::{App, PhoneAddress, secret};
use crate::door::Door;
use crate::library::Base;
use crate::{clock, phone, router};

/// What a run needs.
#[derive(Debug)]
pub struct Run {
    /// The store.
    pub store: Store,
    /// The library.
    pub library: Base,
    /// Port on loopback; zero takes any that is free.
    pub port: u16,
    /// Root of the files among which sensors are looked for.
    pub sensors: std::path::PathBuf,
    /// Address on which paired phones may reach this computer; none where that was not asked for.
    pub phone: Option<IpAddr>,
}

/// Why the page cannot be served.
#[derive(Debug, thiserror::Error)]
pub enum CannotServe {
    /// The system lets nobody listen.
    #[error("cannot listen on {address}")]
    Listen {
        /// Where.
        address: SocketAddr,
        /// What the system said.
        source: std::io::Error,
    },
    /// Listening ended by itself.
    #[error("the page stopped listening")]
    Stopped(#[source] std::io::Error),
    /// The machinery for it cannot be started.
    #[error("the page cannot be started")]
    Start(#[source] std::io::Error),
    /// No randomness for secrets.
    #[error("the system has no randomness to give: {0}")]
    NoSecret(getrandom::Error),
    /// Own parts or the library cannot be read.
    #[error("the parts cannot be read: {0}")]
    Parts(Wrong),
}

/// This computer's own address on its network, found without sending anything.
///
/// # Errors
/// It is on no network.
pub fn own_address() -> std::io::Result<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0))?;
    // An address set aside for documentation (RFC 5737): connecting a datagram socket sends nothing, it only
    // chooses the way out.
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9))?;
    Ok(socket.local_addr()?.ip())
}

fn listen(address: SocketAddr) -> Result<(TcpListener, SocketAddr), CannotServe> {
    let failed = |source| CannotServe::Listen { address, source };
    let listener = TcpListener::bind(address).map_err(failed)?;
    listener.set_nonblocking(true).map_err(failed)?;
    let at = listener.local_addr().map_err(failed)?;
    Ok((listener, at))
}

async fn ended() {
    // Without a way to hear of it the person ends the run by other means.
    if tokio::signal::ctrl_c().await.is_err() {
        std::future::pending::<()>().await;
    }
}

async fn serve_all(app: &Arc<App>, near: TcpListener, far: Option<TcpListener>) -> Result<(), CannotServe> {
    let near = Listener::from_std(near).map_err(CannotServe::Start)?;
    let near = axum::serve(near, router::router(Arc::clone(app))).with_graceful_shutdown(ended());
    match far {
        None => near.await,
        Some(far) => {
            let far = Listener::from_std(far).map_err(CannotServe::Start)?;
            let far = axum::serve(far, phone::router(Arc::clone(app))).with_graceful_shutdown(ended());
            tokio::try_join!(async { near.await }, async { far.await }).map(|_| ())
        }
    }
    .map_err(CannotServe::Stopped)
}

/// Serves the page until the person ends it. `told` is given the address, and the phones' where there is one.
///
/// # Errors
/// See [`CannotServe`].
pub fn serve(run: Run, told: impl FnOnce(&str, Option<&str>)) -> Result<(), CannotServe> {
    let (near, at) = listen(SocketAddr::from((Ipv4Addr::LOCALHOST, run.port)))?;
    let port = at.port();
    let hosts = vec![format!("127.0.0.1:{port}"), format!("localhost:{port}")];
    let secrets =
        (secret().map_err(CannotServe::NoSecret)?, Door::fresh(port).map_err(CannotServe::NoSecret)?);
    // The store waits for its server by itself, so it is neither used nor let go among what waits together.
    let mut app = App::new(run.store, run.library, secrets, hosts, clock::now).map_err(CannotServe::Parts)?;
    app.sensors = run.sensors;
    let mut far = None;
    if let Some(address) = run.phone {
        let (listener, at) = listen(SocketAddr::from((address, 0)))?;
        app.phone = Some(PhoneAddress { host: at.to_string() });
        far = Some(listener);
    }
    let app = Arc::new(app);
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(CannotServe::Start)?;
    let address = format!("http://{at}/open/{}", app.door.start);
    told(&address, app.phone.as_ref().map(|phone| phone.host.as_str()));
    let done = runtime.block_on(serve_all(&app, near, far));
    drop(runtime);
    done
}
