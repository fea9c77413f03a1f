//! From fits to a plan: the tables, the choice, what it results in.

mod admission;
mod affordable;
mod alike;
mod apart;
mod bought;
mod certificate;
mod certificate_beside;
mod certificate_joint;
mod certificate_reach;
mod chain;
mod cheapest;
mod choose;
mod couples;
mod criteria;
mod draws;
mod entries;
mod frame;
mod impossible;
mod impossible_jointly;
mod joint;
mod layer;
mod levels;
mod likeness;
mod meetings;
mod no_plan;
mod outers;
mod pieces;
mod purse;
mod put;
mod question;
mod report;
mod result;
mod roles;
mod search;
mod served;
mod setting;
mod several;
mod spending;
mod spread_band;
mod stretch;
mod tables;
mod taken;
mod too_coarse;

pub use bought::{Bought, Shopping};
pub use certificate::{Certificate, Elsewhere, placed_a_position};
pub use certificate_joint::{JointLevel, Witness};
pub use choose::PlanError;
pub use no_plan::{NoPlan, Nothing, RuledOut, Stated, StatedLimit, WhyNone};
pub use report::{
    BankSummary, Culprit, Estimate, FitValue, Impossible, Interval, Lack, LimitKind, LimitReport, LimitState,
    Placement, Plan, Standing, Stopped, Summary, TooCoarse,
};

pub use setting::{Served, Setting};
pub use several::SeveralLevel;
pub use taken::{Spot, Taken};

pub(crate) use admission::{Bar, Relaxed};
pub(crate) use cheapest::Cheapest;
pub(crate) use choose::{Answer, Chosen};
pub(crate) use entries::Standpoint;
pub(crate) use frame::Frame;
pub(crate) use impossible::impossible;
pub(crate) use put::put;
pub(crate) use question::Question;
pub(crate) use result::{
    aim_values, is_known_to_stand, limit_reports, mean, moves, pairs, plan, root_mean_square, scatter, spread,
};
pub(crate) use search::{Asked, Layout, Search};
pub(crate) use setting::pinned_out;
pub(crate) use several::Several;
pub(crate) use spending::spent;
pub(crate) use spread_band::band_between;
pub(crate) use tables::{Rank, Tables};
