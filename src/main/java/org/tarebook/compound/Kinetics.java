package org.tarebook.compound;

import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.tarebook.thermal.CureLaw;
import org.tarebook.thermal.FirstOrderCure;

/**
 * One revision of what a compound does under heat. Never edited; a better one is a later revision.
 *
 * @param compound code of the component
 * @param revision counted from 1 within the compound
 * @param energyError standard uncertainty of the activation energy, J/mol; 0 where the law has none
 * @param diffusivity m2/s
 * @param diffusivityError relative standard uncertainty of it, 0.05 for five per cent
 * @param conductivity W/(m K)
 * @param document what was sent
 */
public record Kinetics(
    long id,
    String compound,
    int revision,
    CureLaw law,
    double energyError,
    double diffusivity,
    double diffusivityError,
    double conductivity,
    @Nullable FirstOrderCure firstOrder,
    KineticsRequest document,
    String person,
    Instant recordedAt) {}
