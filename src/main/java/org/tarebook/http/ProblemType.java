package org.tarebook.http;

import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;
import org.springframework.http.HttpStatus;

/**
 * Every kind of refusal there is. The wire form is a problem document whose {@code type} is {@code
 * /problems/} and the name in kebab case; the same address shows the help below.
 */
public enum ProblemType {
  INVALID_REQUEST(
      HttpStatus.BAD_REQUEST,
      "The request breaks the contract",
      "A member, parameter or header is missing, misspelt or has a value that cannot be read. Each"
          + " one is listed under errors, with the place and what would be accepted. Nothing was"
          + " stored."),
  UNREADABLE_BODY(
      HttpStatus.BAD_REQUEST,
      "The body cannot be read",
      "The body is not well-formed JSON or CSV in UTF-8: cut off, a member twice, a stray"
          + " character. The detail says the line and column. Nothing was stored."),
  CURSOR_DOES_NOT_FIT(
      HttpStatus.BAD_REQUEST,
      "The cursor belongs to another question",
      "A cursor continues one list with one set of filters. Start again without a cursor."),
  NO_TOKEN(
      HttpStatus.UNAUTHORIZED,
      "A valid token is needed",
      "Send the header Authorization: Bearer followed by a token that is neither expired nor"
          + " revoked. An administrator gives tokens out."),
  NOT_ALLOWED(
      HttpStatus.FORBIDDEN,
      "This token may not do that",
      "The token is valid but its role, kind or station does not cover the request. What a person"
          + " answers for needs that person's own token; a station posts for itself only."),
  NOT_FOUND(
      HttpStatus.NOT_FOUND,
      "There is no such thing",
      "The address names something that is not recorded here. Codes are case-sensitive."),
  METHOD_NOT_ALLOWED(
      HttpStatus.METHOD_NOT_ALLOWED,
      "This address does not answer that method",
      "The Allow header and the detail list what it answers. Facts are never edited or deleted: a"
          + " later fact mends them."),
  NOT_ACCEPTABLE(
      HttpStatus.NOT_ACCEPTABLE,
      "No such form of answer",
      "The Accept header asks for a form this address does not give. The API document lists them."),
  ALREADY_EXISTS(
      HttpStatus.CONFLICT,
      "The code is taken",
      "Something with this code is recorded already, possibly retired. Codes are never used twice,"
          + " so that old records keep their meaning."),
  CONFLICT(
      HttpStatus.CONFLICT,
      "It conflicts with what is stored",
      "The request is well formed but what is stored forbids it now. The detail says what to do."),
  STALE(
      HttpStatus.PRECONDITION_FAILED,
      "It has changed since you read it",
      "The If-Match header names an older version. Read it again, look at what changed, and send"
          + " the change with the new ETag."),
  TOO_LARGE(
      HttpStatus.CONTENT_TOO_LARGE,
      "Too large",
      "The body or a line is longer than the limit in the detail. Many readings go as NDJSON or"
          + " CSV to /api/v1/readings/bulk, a line each."),
  UNSUPPORTED_MEDIA_TYPE(
      HttpStatus.UNSUPPORTED_MEDIA_TYPE,
      "No such form of body",
      "Send application/json, in UTF-8. Many go to the address with /bulk behind it: readings as"
          + " application/x-ndjson or text/csv, masters as text/csv."),
  UNKNOWN_CODE(
      HttpStatus.UNPROCESSABLE_CONTENT,
      "A code is not known",
      "The request names a line, station, instrument, component, product, characteristic or chart"
          + " that is not recorded. Check the spelling (codes are case-sensitive) or record it"
          + " first."),
  UNIT_MISMATCH(
      HttpStatus.UNPROCESSABLE_CONTENT,
      "The unit is of another kind",
      "A mass cannot be judged against a length. Units of the same kind are converted exactly; this"
          + " one is not of the kind the characteristic is measured in."),
  KEY_REUSED(
      HttpStatus.UNPROCESSABLE_CONTENT,
      "The key names another fact",
      "This key was used before with other content. A retry must repeat the content; a new fact"
          + " needs a new key. The detail names what differs. The stored fact is unchanged."),
  RULE_BROKEN(
      HttpStatus.UNPROCESSABLE_CONTENT,
      "A rule of the plant forbids it",
      "The request is well formed but cannot hold: a lower limit above an upper one, dates that"
          + " overlap, a baseline that is too short. The detail says which, and what would do."),
  PRECONDITION_REQUIRED(
      HttpStatus.PRECONDITION_REQUIRED,
      "If-Match is needed",
      "A change names the version it changes: read it first and send its ETag in If-Match."),
  TOO_MANY_REQUESTS(
      HttpStatus.TOO_MANY_REQUESTS,
      "Too many requests",
      "This address asks more often than is answered. Nothing was stored; send the request again"
          + " after the time in Retry-After. The detail says what there was too much of."),
  UNAVAILABLE(
      HttpStatus.SERVICE_UNAVAILABLE,
      "Not possible at this moment",
      "The database did not answer, or other work held what the request needs. Send the same"
          + " request again, with the same key, after the time in Retry-After. The detail says"
          + " whether something may be stored already; the key keeps it single."),
  TOO_BUSY(
      HttpStatus.SERVICE_UNAVAILABLE,
      "Too many studies at once",
      "Only a few studies are computed at once, and this one waited as long as it may. Nothing is"
          + " wrong with the request: send it again after the time in Retry-After."),
  TOOK_TOO_LONG(
      HttpStatus.SERVICE_UNAVAILABLE,
      "The study took too long",
      "A study is ended after the time of the setting tarebook.longest-study, so that it leaves its"
          + " place to others. Ask for a shorter window, or for one line or chart; where the machine"
          + " was busy, the same request may pass later."),
  INTERNAL_ERROR(
      HttpStatus.INTERNAL_SERVER_ERROR,
      "A fault in Tarebook",
      "This is not your fault. Nothing was stored. The log holds the cause under the number in the"
          + " detail. Sending the same request again with the same key does no harm.");

  private static final int NOT_IMPLEMENTED = HttpStatus.NOT_IMPLEMENTED.value();
  private static final int VERSION_NOT_SUPPORTED = HttpStatus.HTTP_VERSION_NOT_SUPPORTED.value();

  private final HttpStatus status;
  private final String title;
  private final String help;

  ProblemType(HttpStatus status, String title, String help) {
    this.status = status;
    this.title = title;
    this.help = help;
  }

  /** The status it is answered with. */
  public HttpStatus status() {
    return status;
  }

  /** The title, the same for every problem of the type. */
  public String title() {
    return title;
  }

  /** What it means and how to mend it, for a person. */
  public String help() {
    return help;
  }

  /** The last part of its address, for example {@code unit-mismatch}. */
  public String slug() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /** The address of its page, which is also the {@code type} of the problem document. */
  public String path() {
    return "/problems/" + slug();
  }

  static Optional<ProblemType> ofSlug(String slug) {
    return Stream.of(values()).filter(type -> type.slug().equals(slug)).findFirst();
  }

  /** The type that tells most of a status; a status of the server's own may have none. */
  static ProblemType ofStatus(int status) {
    return Stream.of(values())
        .filter(type -> type.status.value() == status)
        .findFirst()
        .orElse(
            status < 500 || status == NOT_IMPLEMENTED || status == VERSION_NOT_SUPPORTED
                ? INVALID_REQUEST
                : INTERNAL_ERROR);
  }
}
