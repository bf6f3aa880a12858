package org.tarebook.reading;

import io.swagger.v3.oas.annotations.Parameter;
import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * Which readings are wanted. Whatever is left out does not narrow the search.
 *
 * @param measuredFrom first moment, by the device's clock
 * @param measuredBefore first moment after the window
 */
record ReadingQuery(
    @Parameter(description = "Code of the line.") @Nullable String line,
    @Parameter(description = "Code of the station.") @Nullable String station,
    @Parameter(description = "Code of the instrument.") @Nullable String instrument,
    @Parameter(description = "Code of the characteristic.") @Nullable String characteristic,
    @Parameter(description = "Code of the component.") @Nullable String component,
    @Parameter(description = "Code of the product.") @Nullable String product,
    @Parameter(description = "Code of the chart.") @Nullable String chart,
    @Nullable String die,
    @Nullable String lot,
    @Parameter(description = "Name of the sample.") @Nullable String sample,
    @Nullable String operator,
    @Parameter(description = "Number of the item.") @Nullable String item,
    @Nullable String truck,
    @Nullable String leaf,
    @Parameter(description = "The station's own key of the posting.") @Nullable String key,
    @Nullable Phase phase,
    @Parameter(description = "The result in force.") @Nullable Result result,
    @Nullable Direction direction,
    @Parameter(
            description =
                "Only readings with this standing, as each shows it. With includeVoided also those"
                    + " that would have it had they not been voided or replaced.")
        @Nullable Cause standing,
    @Parameter(description = "First moment, by the device's clock.") @Nullable Instant measuredFrom,
    @Parameter(description = "First moment after the window, by the device's clock.")
        @Nullable Instant measuredBefore,
    @Parameter(description = "First moment, by the server's clock.") @Nullable Instant recordedFrom,
    @Parameter(description = "First moment after the window, by the server's clock.")
        @Nullable Instant recordedBefore,
    @Parameter(description = "Also those that were voided or replaced; false when left out.")
        @Nullable Boolean includeVoided,
    @Parameter(description = "The newest first; false when left out.")
        @Nullable Boolean newestFirst) {

  boolean descending() {
    return Boolean.TRUE.equals(newestFirst);
  }
}
