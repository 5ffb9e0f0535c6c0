//! Money in minor units with its currency; typed prices.
