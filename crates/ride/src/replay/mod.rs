//! From a profile to what each pair would have done: demand, gears, cost.
