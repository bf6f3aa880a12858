package org.tarebook.truth;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;

/**
 * Factors of subgroups from a table of 22 digits (see its first line), which agrees with the four
 * to five digits printed in ISO 7870-2 and the NIST/SEMATECH e-Handbook, section 6.3.2.
 */
enum Factor {
  D2("d2"),
  D3("d3"),
  C4("c4"),
  C5("c5");

  private final Map<Integer, Double> bySize = new HashMap<>();

  Factor(String column) {
    try (BufferedReader table =
        new BufferedReader(
            new InputStreamReader(
                Objects.requireNonNull(
                    Factor.class.getResourceAsStream("/reference/statistics/factors_exact.csv")),
                StandardCharsets.UTF_8))) {
      table.readLine();
      List<String> names = Arrays.asList(table.readLine().split(","));
      for (String line = table.readLine(); line != null; line = table.readLine()) {
        String[] cells = line.split(",");
        bySize.put(Integer.valueOf(cells[0]), Double.valueOf(cells[names.indexOf(column)]));
      }
    } catch (IOException failure) {
      throw new UncheckedIOException(failure);
    }
  }

  double of(int size) {
    return bySize.get(size);
  }
}
