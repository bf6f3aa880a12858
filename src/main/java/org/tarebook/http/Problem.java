package org.tarebook.http;

import java.net.URI;
import java.util.List;
import org.springframework.http.ProblemDetail;

/** A refusal: what is wrong, where, and how to mend it. Answered as a problem document. */
public class Problem extends RuntimeException {

  private final ProblemType type;
  private final String detail;
  private final transient List<Fault> faults;

  /**
   * One fault of the request.
   *
   * @param pointer where: a JSON pointer into the body ({@code /value}), or the parameter or header
   * @param detail what is wrong there, and what would be accepted
   * @param line the line of the body, counted from 1, where it has lines; otherwise absent
   */
  public record Fault(
      @org.jspecify.annotations.Nullable Integer line, String pointer, String detail) {
    /** A fault in a body that is one document. */
    public static Fault at(String pointer, String detail) {
      return new Fault(null, pointer, detail);
    }
  }

  /** A refusal with one sentence. */
  public Problem(ProblemType type, String detail) {
    this(type, detail, List.of());
  }

  /** A refusal that lists every fault. */
  public Problem(ProblemType type, String detail, List<Fault> faults) {
    super(detail);
    this.type = type;
    this.detail = detail;
    this.faults = List.copyOf(faults);
  }

  /** A refusal with one fault at one place. */
  public static Problem at(ProblemType type, String pointer, String detail) {
    return new Problem(type, pointer + ": " + detail, List.of(Fault.at(pointer, detail)));
  }

  /** The address names something that is not recorded. */
  public static Problem notFound(String what, String code) {
    return new Problem(ProblemType.NOT_FOUND, "There is no " + what + " " + code + ".");
  }

  /** A member of the body names something that is not recorded. */
  public static Problem unknownCode(String pointer, String what, String code) {
    return at(ProblemType.UNKNOWN_CODE, pointer, "There is no " + what + " '" + code + "'.");
  }

  /** The kind of refusal. */
  public ProblemType type() {
    return type;
  }

  /** What is wrong in this case. */
  public String detail() {
    return detail;
  }

  /** Every fault found; may be empty. */
  public List<Fault> faults() {
    return faults;
  }

  /** The document that is answered with the status of its type. */
  public ProblemDetail toDocument() {
    return toDocument(type.status().value());
  }

  /** The document that is answered with this status. */
  ProblemDetail toDocument(int status) {
    ProblemDetail document = ProblemDetail.forStatus(status);
    document.setDetail(detail);
    document.setType(URI.create(type.path()));
    document.setTitle(type.title());
    if (!faults.isEmpty()) {
      document.setProperty("errors", faults);
    }
    return document;
  }
}
