package org.tarebook.http;

import java.util.List;
import org.springframework.http.HttpMethod;

/** Knows who may do what an operation does. */
public interface OperationRoles {

  /**
   * Who may.
   *
   * @param path as the API document writes it, with the names of its parts in braces
   */
  Said of(HttpMethod method, String path);

  /**
   * What the API document says of it.
   *
   * @param roles the names of the roles, each of which suffices; none where no token is needed
   * @param words the same for a person, and what else is needed
   */
  record Said(List<String> roles, String words) {}
}
