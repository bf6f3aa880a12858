package org.tarebook.item;

import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * A thing with a number.
 *
 * @param number unique in the plant, for ever
 * @param componentId what component it is; absent where it is a product
 * @param productId what product it is; absent where it is a component
 * @param lot the lot it belongs to
 * @param madeAt when it was made, where that is known
 */
public record Item(
    String number,
    @Nullable Long componentId,
    @Nullable Long productId,
    @Nullable String lot,
    @Nullable Instant madeAt) {}
