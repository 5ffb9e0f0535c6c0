//! Currencies and how many decimals each one has.

/// Codes by the number of decimals of their minor unit; metals, funds and test codes have none and are not listed.
///
/// # Source
/// iso-4217.
const BY_DECIMALS: [(u32, &str); 4] = [
    (0, "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF"),
    (
        2,
        "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BOV BRL BSD BTN BWP BYN BZD CAD CDF CHE \
    CHF CHW CNY COP COU CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD \
    HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK \
    MNT MOP MRU MUR MVR MWK MXN MXV MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD \
    RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH \
    USD USN UYU UZS VED VES WST XAD XCD XCG YER ZAR ZMW ZWG",
    ),
    (3, "BHD IQD JOD KWD LYD OMR TND"),
    (4, "CLF UYW"),
];

/// A currency in use.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Currency {
    code: &'static str,
    decimals: u32,
}

impl Currency {
    /// The currency of a code in capitals; `None` for any other word.
    #[must_use]
    pub fn of(code: &str) -> Option<Self> {
        BY_DECIMALS.iter().find_map(|(decimals, codes)| {
            let code = codes.split(' ').find(|known| *known == code)?;
            Some(Self { code, decimals: *decimals })
        })
    }

    /// Its three letters.
    #[must_use]
    pub const fn code(self) -> &'static str {
        self.code
    }

    /// Decimals of its minor unit.
    #[must_use]
    pub const fn decimals(self) -> u32 {
        self.decimals
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_is_three_capitals_and_stands_once() {
        let mut codes: Vec<_> = BY_DECIMALS.iter().flat_map(|(_, codes)| codes.split(' ')).collect();
        assert!(codes.iter().all(|code| code.len() == 3 && code.bytes().all(|byte| byte.is_ascii_uppercase())));
        let count = codes.len();
        codes.sort_unstable();
        codes.dedup();
        assert_eq!(codes.len(), count);
    }

    #[test]
    fn a_lower_case_code_is_no_currency() {
        assert!(Currency::of("EUR").is_some_and(|euro| euro.decimals() == 2));
        assert!(Currency::of("eur").is_none() && Currency::of("").is_none() && Currency::of("EUR USD").is_none());
    }
}
