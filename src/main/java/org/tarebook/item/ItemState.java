package org.tarebook.item;

import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * What was said of an item at one time: as it was registered, or as it was corrected.
 *
 * @param correction counted from 1 within the item; 0 as it was registered
 * @param key the sender's own key of the correction; absent as it was registered
 * @param reason why it was corrected; absent as it was registered
 */
record ItemState(
    Item item,
    int correction,
    @Nullable String key,
    @Nullable String reason,
    String person,
    Instant recordedAt) {}
