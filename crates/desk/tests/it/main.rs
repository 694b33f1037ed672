//! What the desk answers, against sources outside the project.
mod reference_cases;
