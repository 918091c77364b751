//! Files to listings: any number of CSV exports, in whatever shape a site gave
//! them, become [`Listing`]s; rows that cannot are kept with their reason.

pub mod listing;

pub use listing::{Listing, ListingId, Origin};
