package org.tarebook.control;

import java.time.Instant;

/**
 * What a person found and did on a signal.
 *
 * @param signalId the first of the signals that are one
 * @param key the person's own key of this fact
 * @param cause what was found
 * @param action what was done
 */
public record Response(
    long id,
    long signalId,
    String key,
    String cause,
    String action,
    String person,
    Instant recordedAt) {}
