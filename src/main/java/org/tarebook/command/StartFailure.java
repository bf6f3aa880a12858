package org.tarebook.command;

import java.net.BindException;
import java.sql.SQLException;
import java.util.LinkedHashSet;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.flywaydb.core.api.FlywayException;
import org.springframework.boot.web.server.PortInUseException;
import org.springframework.core.convert.ConversionFailedException;
import org.tarebook.http.Problem;
import org.tarebook.storage.Command;
import org.tarebook.storage.StartRefused;

/** Why the service or a command did not start, in one line for the person who started it. */
public final class StartFailure {

  private static final int H2_OPEN_ELSEWHERE = 90020;
  private static final Set<Integer> H2_UNREADABLE = Set.of(90028, 90030, 90031);
  private static final int H2_OTHER_FORMAT = 90048;
  private static final String PORT_TOO_LARGE = "port out of range";

  private static final Pattern UNKNOWN_MIGRATION =
      Pattern.compile("applied migration not resolved locally: ([0-9.]*[0-9])");
  private static final Pattern OTHER_CHECKSUM =
      Pattern.compile("checksum mismatch for migration version ([0-9.]*[0-9])");
  private static final Pattern FAILED_MIGRATION =
      Pattern.compile("failed migration to version ([0-9.]*[0-9])");

  private StartFailure() {}

  /** The reason; absent for a failure that no person outside can have caused or can mend. */
  public static Optional<String> reason(Throwable failure) {
    Set<Throwable> causes = causes(failure);
    return of(causes, StartRefused.class)
        .map(Throwable::getMessage)
        .or(() -> of(causes, Command.Refused.class).map(Throwable::getMessage))
        .or(() -> of(causes, Problem.class).map(Throwable::getMessage))
        .or(() -> foreseen(causes).map(StartFailure::inOneLine));
  }

  private static Optional<String> foreseen(Set<Throwable> causes) {
    return of(causes, PortInUseException.class)
        .map(StartFailure::portInUse)
        .or(() -> of(causes, BindException.class).map(StartFailure::address))
        .or(() -> last(causes, SQLException.class).map(StartFailure::database))
        .or(() -> of(causes, FlywayException.class).map(StartFailure::schema))
        .or(
            () ->
                of(causes, org.springframework.boot.context.properties.bind.BindException.class)
                    .map(StartFailure::setting))
        .or(() -> of(causes, ConversionFailedException.class).map(StartFailure::value))
        .or(
            () ->
                of(causes, IllegalArgumentException.class)
                    .map(Throwable::getMessage)
                    .filter(message -> message.startsWith(PORT_TOO_LARGE))
                    .map(message -> message + ". Set server.port to a port from 1 to 65535."));
  }

  /** What is left to say of a failure without a reason: what failed at the bottom of it. */
  public static String unforeseen(Throwable failure) {
    return inOneLine(last(causes(failure), Throwable.class).orElse(failure).toString());
  }

  private static String portInUse(PortInUseException failure) {
    return "port "
        + failure.getPort()
        + " is in use. Stop what listens there, or set server.port to another port.";
  }

  private static String address(BindException failure) {
    return "it cannot listen at server.address: "
        + failure.getMessage()
        + ". Set it to an address of this machine.";
  }

  private static String database(SQLException failure) {
    String message = String.valueOf(failure.getMessage());
    if (failure.getErrorCode() == H2_OPEN_ELSEWHERE) {
      return message.replaceAll("(?s)\\. Possible solutions.*", "")
          + ". Stop the process that has the file open; an H2 file belongs to one process.";
    }
    return "the database answers: " + message.replaceAll("\\.$", "") + "." + advice(failure);
  }

  private static String advice(SQLException failure) {
    if (H2_UNREADABLE.contains(failure.getErrorCode())) {
      return " The file is damaged or not a database. Restore the newest backup into a new file.";
    } else if (failure.getErrorCode() == H2_OTHER_FORMAT) {
      return " The file was written by another version. Restore a backup into a new file.";
    }
    return switch (String.valueOf(failure.getSQLState())) {
      case "28000", "28P01" -> " Check DB_USER and DB_PASSWORD.";
      case "3D000" -> " Create this database, or correct DB_URL.";
      case "42501" -> " Give the user of the database the right to create and change tables.";
      case "08001", "08004", "08006" -> " Check DB_URL, and that the database runs.";
      default -> "";
    };
  }

  private static String schema(FlywayException failure) {
    String message = String.valueOf(failure.getMessage());
    Matcher unknown = UNKNOWN_MIGRATION.matcher(message);
    Matcher other = OTHER_CHECKSUM.matcher(message);
    Matcher failed = FAILED_MIGRATION.matcher(message);
    if (unknown.find()) {
      return "the database has schema "
          + unknown.group(1)
          + ", which this Tarebook does not know. Start the newer version that made it.";
    } else if (other.find()) {
      return "migration "
          + other.group(1)
          + " in the database differs from this Tarebook's (checksum mismatch). Start the version"
          + " that made the database, or restore a backup.";
    } else if (failed.find()) {
      return "migration "
          + failed.group(1)
          + " failed in an earlier start. Restore the backup from before the upgrade.";
    }
    return "the schema of the database cannot be migrated: " + message;
  }

  private static String setting(
      org.springframework.boot.context.properties.bind.BindException failure) {
    return failure.getName()
        + (failure.getProperty() == null ? "" : "=" + failure.getProperty().getValue())
        + " cannot be read as "
        + failure.getTarget().getType()
        + ".";
  }

  private static String value(ConversionFailedException failure) {
    return "a setting has the value '"
        + failure.getValue()
        + "', which cannot be read as "
        + failure.getTargetType().getType().getSimpleName()
        + ".";
  }

  private static String inOneLine(String text) {
    return text.strip().replaceAll("\\s+", " ");
  }

  private static Set<Throwable> causes(Throwable failure) {
    Set<Throwable> causes = new LinkedHashSet<>();
    for (Throwable cause = failure; cause != null && causes.add(cause); ) {
      cause = cause.getCause();
    }
    return causes;
  }

  private static <T extends Throwable> Optional<T> of(Set<Throwable> causes, Class<T> type) {
    return causes.stream().filter(type::isInstance).map(type::cast).findFirst();
  }

  private static <T extends Throwable> Optional<T> last(Set<Throwable> causes, Class<T> type) {
    return causes.stream().filter(type::isInstance).map(type::cast).reduce((one, next) -> next);
  }
}
