//! Jobs, states, the planner and its plan; parts and shopping.
