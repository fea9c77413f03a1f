//! The few distributions and sums the method needs, with typed arguments.
//!
//! The distributions come from `statrs`; this room gives them arguments that cannot be out of range ([`Risk`], [`Dof`]), tails that keep
//! their digits where the risk is small, and the rule that an infinite number of degrees of freedom is the normal distribution.

mod combine;
mod dof;
mod draws;
mod fisher;
mod normal;
mod risk;
mod student;
mod summary;

pub use combine::welch_satterthwaite;
pub use dof::Dof;
pub use draws::{NormalDraws, Stream, joint_normal};
pub use fisher::f_upper_tail;
pub use normal::{normal_cdf, normal_upper_quantile};
pub use risk::Risk;
pub use student::{t_cdf, t_two_sided_factor, t_two_sided_tail, t_upper_quantile};
pub use summary::Summary;
