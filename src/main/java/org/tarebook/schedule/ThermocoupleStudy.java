package org.tarebook.schedule;

import java.math.BigDecimal;
import java.time.Instant;
import java.time.LocalDate;

/**
 * What couples built into a tyre said of one place under one revision of a schedule.
 *
 * @param place the name of what is wanted there, or SLOWEST or FASTEST
 * @param equivalents equivalent minutes at the compound's reference temperature
 * @param uncertainty standard uncertainty of them, in equivalent minutes
 */
public record ThermocoupleStudy(
    long id,
    long scheduleId,
    int revision,
    String key,
    String place,
    Until until,
    BigDecimal equivalents,
    BigDecimal uncertainty,
    LocalDate measuredOn,
    String source,
    String person,
    Instant recordedAt) {}
