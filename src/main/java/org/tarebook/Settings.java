package org.tarebook;

import java.io.IOException;
import java.time.DateTimeException;
import java.time.Duration;
import java.time.ZoneId;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.springframework.core.convert.ConversionException;
import org.springframework.core.env.ConfigurableEnvironment;
import org.springframework.core.env.EnumerablePropertySource;
import org.springframework.core.env.PropertySource;
import org.springframework.core.io.ClassPathResource;
import org.springframework.core.io.support.PropertiesLoaderUtils;
import org.tarebook.storage.StartRefused;

/**
 * Checks Tarebook's own settings before anything is made of them. A setting is of the kind of its
 * default: a duration, a whole number or a text.
 */
final class Settings {

  private static final String PREFIX = "tarebook.";
  private static final Set<String> OPTIONS = Set.of("debug", "trace");
  private static final Set<String> MAY_BE_ZERO =
      Set.of(
          "tarebook.specification-lead",
          "tarebook.clock-ahead",
          "tarebook.clock-behind",
          "tarebook.studies-at-once");

  private final ConfigurableEnvironment environment;

  Settings(ConfigurableEnvironment environment) {
    this.environment = environment;
  }

  /** Refuses the start if a setting cannot be used, or is not one. */
  void check() {
    TreeMap<String, String> defaults = new TreeMap<>();
    for (String file : Set.of("application.properties", "application-demo.properties")) {
      try {
        PropertiesLoaderUtils.loadProperties(new ClassPathResource(file))
            .forEach((name, value) -> defaults.putIfAbsent(name.toString(), value.toString()));
      } catch (IOException failure) {
        throw new IllegalStateException("The package has no " + file, failure);
      }
    }
    defaults.keySet().removeIf(name -> !name.startsWith(PREFIX));
    refuseUnknown(new TreeSet<>(defaults.keySet()));
    defaults.forEach(this::check);
  }

  private void refuseUnknown(Set<String> known) {
    PropertySource<?> typed = environment.getPropertySources().get("commandLineArgs");
    if (typed instanceof EnumerablePropertySource<?> settings) {
      for (String name : settings.getPropertyNames()) {
        if (String.valueOf(typed.getProperty(name)).isEmpty()
            && !name.contains(".")
            && !OPTIONS.contains(name)) {
          throw new StartRefused("--" + name + " is not an option. --help lists what there is.");
        }
        if (name.startsWith(PREFIX) && !known.contains(name)) {
          throw new StartRefused(
              name + " is not a setting. Known are " + String.join(", ", known) + ".");
        }
      }
    }
  }

  private void check(String name, String usual) {
    String fault = environment.containsProperty(name) ? fault(name, usual) : null;
    if (fault != null) {
      throw new StartRefused(name + "=" + environment.getProperty(name) + " " + fault);
    }
  }

  private @Nullable String fault(String name, String usual) {
    if (name.equals("tarebook.zone")) {
      return isZone(environment.getProperty(name, usual))
          ? null
          : "is not a time zone. Set a name such as Europe/Paris, or UTC.";
    } else if (name.equals("tarebook.probe-port")) {
      Long set = read(name, Long.class);
      return environment.getProperty(name, usual).isEmpty()
              || (set != null && set >= 0 && set < 65_536)
          ? null
          : "must be a port from 0 to 65535. The default is server.port + 1000.";
    } else if (usual.matches("P[0-9DTHMS.]+")) {
      Duration set = read(name, Duration.class);
      if (set == null) {
        return "is not a duration. Set for example PT30S, PT5M or P2D.";
      }
      boolean zero = set.isZero() && !MAY_BE_ZERO.contains(name);
      return zero || set.isNegative()
          ? "must be "
              + (zero ? "longer than 0" : "0 or longer")
              + ". The default is "
              + usual
              + "."
          : null;
    } else if (usual.matches("[0-9]+")) {
      Long set = read(name, Long.class);
      boolean any = name.equals("tarebook.demo-seed");
      int least = MAY_BE_ZERO.contains(name) ? 0 : 1;
      return set != null && (any || (set >= least && set <= Integer.MAX_VALUE))
          ? null
          : "must be a whole number"
              + (any ? "." : " from " + least + " to " + Integer.MAX_VALUE + ".")
              + " The default is "
              + usual
              + ".";
    }
    return null;
  }

  private <T> @Nullable T read(String name, Class<T> type) {
    try {
      return environment.getProperty(name, type);
    } catch (ConversionException | IllegalArgumentException unreadable) {
      return null;
    }
  }

  private static boolean isZone(String name) {
    try {
      return ZoneId.of(name) != null;
    } catch (DateTimeException unknown) {
      return false;
    }
  }
}
